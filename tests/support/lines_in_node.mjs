// Reads lines with the phone's own code: {book, lines: [{kind, text, fields}]} in, [{fields, rest}] out.
import { readFileSync } from "node:fs";
import { heard } from "../../static/js/field/core/lines.js";

const { book, lines } = JSON.parse(readFileSync(0, "utf8"));
const told = lines.map(({ kind, text, fields }) => heard(book, kind, text, fields));
process.stdout.write(JSON.stringify(told));
