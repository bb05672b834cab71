// Answers for the tests what the browser's ledger makes of each visit, a line for each.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [folder, tasks] = process.argv.slice(2);
const { closable, indexFindings, ledger, openLines } = await import(pathToFileURL(`${folder}/ledger.js`));
const work = JSON.parse(readFileSync(tasks, "utf8"));

for (const task of work.tasks) {
  const pack = work.packs[task.pack];
  const index = indexFindings(pack, task.findings);
  const made = ledger({ pack, records: task.records, index, scope: task.scope, conflicts: task.conflicts, words: work.words });
  const rows = made.rows.map(({ duty, stop, state, text, together, tried, total, findings, hint, said }) =>
    [duty, stop, state, text, together, tried, total, findings, hint, said]);
  const open = openLines(made).map((line) => [line.duty, line.stop, line.place, line.hint, line.needs_feet]);
  const closes = Object.fromEntries(task.stops.map((stop) => [stop, closable(made, stop).map((duty) => duty.id)]));
  process.stdout.write(`${JSON.stringify({ rows, open, closes })}\n`);
}
