// Odd values that the inspector says are typed right, so that a rule may speak; confirming.py.
import { bare } from "../said.js";

const TYPED = "is it typed right?"; // how a rule asks; other questions want another fact
const UNASKED = new WeakMap();

// What a rule says, past the questions that the inspector answered.
export function confirming(view, bound, rule, evaluate) {
  const outcome = evaluate(rule);
  return confirmed(view, bound, outcome) ? evaluate(unasked(rule)) : outcome;
}

function confirmed(view, bound, { confirm }) {
  if (!confirm.length || !confirm.every(([, say]) => say.endsWith(TYPED))) return false;
  const said = new Set(view.all("typed_right").map((one) => JSON.stringify(["record", "field", "value"].map((name) => view.get(one, name)))));
  return confirm.every(([name]) => {
    const fact = bound.sources[name];
    return fact && said.has(JSON.stringify([fact.record, fact.field, bare(fact.value)]));
  });
}

function unasked(rule) {
  if (!UNASKED.has(rule)) UNASKED.set(rule, { ...rule, asks: rule.asks.filter((ask) => !ask.say.endsWith(TYPED)) });
  return UNASKED.get(rule);
}
