// Who gathers inputs for which rules: by the kind of record they look at; gathering.py.
import { reader } from "./files.js";
import { panel } from "./panels.js";
import { box, receptacle, wall, wiring } from "./receptacles.js";
import { space } from "./spaces.js";
import { house, looked, testerLimits } from "./whole.js";

export const HOUSE = "";
// What code gathers, since it reads several records at once.
const OURS = [
  ["enclosure", "panel", panel], ["space", "space", space], ["receptacle", "receptacle", receptacle], ["wall", "wall", wall],
  ["box", "box", box], ["branch_wiring", "wiring", wiring], ["observation", "looked", looked], ["stop", "tester", testerLimits],
  [HOUSE, "house", house],
];

// kind of record -> name -> gatherer: ours, then what each rule's file says it reads.
export function gatherersOf(rules) {
  const found = new Map();
  const put = (kind, name, gather) => found.set(kind, (found.get(kind) ?? new Map()).set(name, gather));
  for (const one of OURS) put(...one);
  for (const rule of rules) if (rule.binds) put(rule.binds.record, rule.id, reader(rule));
  return found;
}
