// Answers for the tests what the field client's modules make of each task.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [folder, tasks] = process.argv.slice(2);
const load = (name) => import(pathToFileURL(`${folder}/${name}.js`));
const { fold } = await load("fold");
const { newId } = await load("ids");

const work = JSON.parse(readFileSync(tasks, "utf8"));
const answers = { folds: work.folds.map((entries) => fold(entries)) };
answers.ids = work.times.map((time) => newId(time));
process.stdout.write(JSON.stringify(answers));
