// Answers for the tests what the field client's modules make of each task.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [folder, tasks] = process.argv.slice(2);
const load = (name) => import(pathToFileURL(`${folder}/${name}.js`));
const { fold } = await load("fold");
const { Standing } = await load("standing");
const { newId } = await load("ids");

const work = JSON.parse(readFileSync(tasks, "utf8"));
const answers = { folds: work.folds.map((entries) => fold(entries)) };
// The same logs entry by entry, looked at on the way: nothing of that may change the end.
answers.standing = work.folds.map((entries) => {
  const standing = new Standing();
  for (const [at, entry] of entries.entries()) {
    standing.add(entry);
    if (at % 3 === 0) standing.fold();
  }
  return standing.fold();
});
answers.ids = work.times.map((time) => newId(time));
process.stdout.write(JSON.stringify(answers));
