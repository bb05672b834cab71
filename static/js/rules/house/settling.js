// Lines that ask which of two things holds: values, facts, tests, shut-offs; settling.py.
import { clashingTests } from "./tree.js";
import { bare } from "../said.js";
import { fact, fieldWords } from "./view.js";

const unique = (items) => [...new Set(items)];
const byText = (a, b) => (a < b ? -1 : Number(a > b));

// Two values for one field, and facts that contradict each other.
export function lines(view, tree, disputed, apart) {
  return [
    ...apart.map((one) => contradiction(view, one)),
    ...twoValues(view, disputed),
    ...clashingTests(view).map(([one, other, words]) =>
      settling(view, "facts.repeat_test", one, unique([one, other]).map((id) => [id, "gfci_own_button_trips"]), `Repeat the test: ${words}`)),
    ...tree.contradictions.map(([one, other, words]) =>
      settling(view, "facts.first_shut_off", one, [[one, "role"], [other, "role"]], `Find the first shut-off: ${words}`)),
  ];
}

function contradiction(view, { say, between }) {
  const fields = between.map((one) => [one.record, one.field]);
  return { ...settling(view, "facts.contradict", between[0].record, fields, "Two facts do not fit together", between), why: say };
}

function twoValues(view, disputed) {
  const ids = [...disputed.keys()].sort(byText).filter((id) => view.has(id));
  return ids.flatMap((id) => [...disputed.get(id).keys()].sort(byText).map((name) => {
    const facts = disputed.get(id).get(name).map((value) => fact(id, name, value, view.how(id, name), fieldWords(name)));
    return settling(view, "facts.two_values", id, [[id, name]], "Two values stand here; one has to be chosen", facts);
  }));
}

function settling(view, name, record, fields, title, given = []) {
  const facts = given.length ? given : fields.map(([id, field]) => fact(id, field, view.get(id, field), view.how(id, field), fieldWords(field)));
  const row = view.row(record);
  const place = view.place(record);
  return {
    key: `${name}:${record}:${fields[0][1]}`, rule: name, rule_version: "1", system: "", item: bare(row.kind ?? ""), subject: record,
    subjects: unique(fields.map(([id]) => id)), stop: bare(row.stop || ""), places: place ? [place] : [], title, facts,
    outcome: "undetermined", consequence: "", timing: "", trade: "", passage: "", blanks: {}, age_note: "",
    certainty: "cannot tell while both stand", margin: "", edition: {}, source: "", provenance: "found", cautions: [], trace: [],
    needs: fields.map(([id, field]) => ({ record: id, field, label: fieldWords(field) })),
    firm_only: false, hazard: false, topic: name, why: title, parts: [], ruling: "", decision: {},
  };
}
