// Answers for the tests what the browser makes of each state of each visit, a line for each.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [folder, tasks] = process.argv.slice(2);
const { House, review } = await import(pathToFileURL(`${folder}/house/proposals.js`));
const work = JSON.parse(readFileSync(tasks, "utf8"));

for (const task of work.tasks) {
  const { timelines, packages } = work;
  const given = { book: packages[task.package], timeline: timelines[task.timeline] ?? null, duties: task.duties, ticked: task.ticked };
  const kept = new House(given);
  let records = {};
  for (const step of task.steps) {
    records = Object.fromEntries(Object.entries({ ...records, ...step.changed }).filter(([, one]) => one !== null));
    const visit = { records, conflicts: step.conflicts, facts: task.facts };
    const { proposals, aside, beside } = review(kept, visit);
    // The first state is new and so worked out from scratch; later ones from what was kept.
    process.stdout.write(`${JSON.stringify({ proposals, aside, beside, worked: kept.parts.worked })}\n`);
  }
}
