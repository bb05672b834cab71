// The one text that both evaluators' answers are compared in: sorted keys, no spaces.
export function wire(value) {
  if (Array.isArray(value)) return `[${value.map(wire).join(",")}]`;
  if (typeof value === "object" && value !== null) {
    const names = Object.keys(value).sort((a, b) => (a < b ? -1 : 1));
    return `{${names.map((name) => `${JSON.stringify(name)}:${wire(value[name])}`).join(",")}}`;
  }
  return typeof value === "bigint" ? value.toString() : JSON.stringify(value ?? null);
}
