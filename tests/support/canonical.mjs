// RFC 8785 by the language it was modelled on: lines of JSON in, their forms out.
import { createInterface } from "node:readline";

function form(value) {
  if (Array.isArray(value)) return `[${value.map(form).join(",")}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value);
  const names = Object.keys(value).sort();
  return `{${names.map((name) => `${JSON.stringify(name)}:${form(value[name])}`).join(",")}}`;
}

for await (const line of createInterface({ input: process.stdin })) {
  process.stdout.write(`${JSON.stringify(form(JSON.parse(line)))}\n`);
}
