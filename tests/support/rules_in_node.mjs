// Answers for the tests what the browser's evaluator makes of each task, a line for each.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [folder, tasks] = process.argv.slice(2);
const load = (name) => import(pathToFileURL(`${folder}/${name}.js`));
const { compile } = await load("evaluate");
const { prepare, run } = await load("engine");
const { Tables } = await load("tables");
const { wire } = await load("wire");

// Whole numbers too large for a float are kept as they were written.
const whole = (_, value, context) => (Number.isInteger(value) && !Number.isSafeInteger(value) ? BigInt(context.source) : value);
const work = JSON.parse(readFileSync(tasks, "utf8"), whole);
const rules = Object.fromEntries(Object.entries(work.package?.rules ?? {}).map(([name, rule]) => [name, prepare(rule)]));
const tables = new Tables(work.package?.tables ?? {});

function expression(task) {
  const env = { fields: task.fields, tables: new Tables(task.tables ?? {}), trace: [] };
  return { value: compile(task.expr)(env), trace: env.trace.length };
}

function rule(task) {
  try {
    const { row, fields, ...found } = run(rules[task.rule], task.inputs, task.dates, tables);
    return { ...found, trace: found.trace() };
  } catch (error) {
    if (!error.field) throw error;
    return { wrong: error.told };
  }
}

const lines = work.tasks.map((task) => wire(task.rule ? rule(task) : expression(task)));
process.stdout.write(`${lines.join("\n")}\n`);
