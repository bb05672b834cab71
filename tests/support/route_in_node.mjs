// Moves stops at random as phones do, and answers each route's order for the tests.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [folder, tasks] = process.argv.slice(2);
const { between, inRouteOrder, placed } = await import(pathToFileURL(`${folder}/route.js`));

for (const { stops, moves, pairs } of JSON.parse(readFileSync(tasks, "utf8"))) {
  const held = new Map(stops);
  const begun = inRouteOrder(held).map(([id]) => id);
  const wrong = [];
  let longest = 0;
  for (const [rec, place] of moves) {
    const order = inRouteOrder(held).map(([id]) => id).filter((id) => id !== rec);
    const rows = placed([...held], rec, place);
    for (const [id, { pos }] of rows) {
      held.set(id, { ...held.get(id), pos });
      longest = Math.max(longest, pos.length);
    }
    order.splice(place, 0, rec);
    const now = inRouteOrder(held).map(([id]) => id);
    if (JSON.stringify(now) !== JSON.stringify(order)) wrong.push({ rec, place, rows, order, now });
  }
  const betweens = pairs.map(([before, after]) => between(before, after));
  process.stdout.write(`${JSON.stringify({ begun, wrong, longest, betweens, stops: [...held], order: inRouteOrder(held).map(([id]) => id) })}\n`);
}
