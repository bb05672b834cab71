// Which labels what was typed may mean: each word begins one of theirs; where none does,
// one letter may be wrong from four letters on. The server's rule: findings/selectors/field/item_search.py.
const LEAST = 2;
const FORGIVEN = 4;

const words = (text) => text.toLowerCase().match(/[a-z0-9]+/g) ?? [];

function oneOff(a, b) {
  if (Math.abs(a.length - b.length) > 1) return false;
  let at = 0;
  while (at < Math.min(a.length, b.length) && a[at] === b[at]) at += 1;
  if (at === Math.min(a.length, b.length)) return true;
  const [restA, restB] = [a.slice(at + 1), b.slice(at + 1)];
  const swapped = a.length > at + 1 && a[at] === b[at + 1] && a[at + 1] === b[at] && a.slice(at + 2) === b.slice(at + 2);
  return swapped || restA === restB || restA === b.slice(at) || a.slice(at) === restB;
}

function near(typed, word) {
  if (word.startsWith(typed)) return true;
  if (typed.length < FORGIVEN) return false;
  return [-1, 0, 1].some((more) => oneOff(typed, word.slice(0, typed.length + more)));
}

const begins = (typed, word) => word.startsWith(typed);

function fits(label, asked, alike) {
  const known = words(label);
  return asked.every((one) => known.some((word) => alike(one, word)));
}

// The labels whose words begin as typed; where there is none, those nearly so.
export function found(labels, typed) {
  const asked = words(typed);
  if (asked.join("").length < LEAST) return labels;
  const exact = labels.filter((label) => fits(label, asked, begins));
  return exact.length ? exact : labels.filter((label) => fits(label, asked, near));
}
