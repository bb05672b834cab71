// An enclosure as it is drawn: numbered spaces in one or two columns, what each device takes
// up, and what a brush writes. The same ids and defaults as the server's own pages.
import { namedId } from "./named_id.js";

export const MOST_SPACES = 84;
export const EMPTY = { blank_filler: "filler", open: "open", not_read: "not read" };
const IN_USE = new Set(["breaker", "fuse", "pull_out"]);

// Brushes: what is picked once and painted over many. Of breakers the rest is as usual.
const USUAL = { poles: 1, under_screw: 1, protection: "none", state: "on", stranding: "solid" };
export const BRUSHES = [
  { key: "15-14", words: "15 A, 14 copper", fields: { space_kind: "breaker", amps: 15, size: "14", material: "copper", ...USUAL } },
  { key: "20-12", words: "20 A, 12 copper", fields: { space_kind: "breaker", amps: 20, size: "12", material: "copper", ...USUAL } },
  { key: "30-10", words: "30 A, 10 copper, two poles", fields: { space_kind: "breaker", amps: 30, size: "10", material: "copper", ...USUAL, poles: 2 } },
  { key: "50-6", words: "50 A, 6 copper, two poles", fields: { space_kind: "breaker", amps: 50, size: "6", material: "copper", ...USUAL, poles: 2, stranding: "stranded" } },
  { key: "two-pole", words: "Two poles, another size", fields: { space_kind: "breaker", material: "copper", ...USUAL, poles: 2 } },
  { key: "fuse", words: "Screw fuse", fields: { space_kind: "fuse", poles: 1 } },
  { key: "pull_out", words: "Pull-out", fields: { space_kind: "pull_out", poles: 2 } },
  { key: "blank_filler", words: "Filler", fields: { space_kind: "blank_filler" } },
  { key: "open", words: "Open", fields: { space_kind: "open" } },
  { key: "not_read", words: "Not read", fields: { space_kind: "not_read" } },
];

export const spacesOf = (visit, enclosure) => new Map(visit.of("space", { enclosure }).map(([id, space]) => [space.number, [id, space]]));

export const spaceId = (visit, enclosure, number) =>
  spacesOf(visit, enclosure).get(number)?.[0] ?? namedId(enclosure, `space:${number}`);

export function mostOf(panel, spaces) {
  return Math.min(MOST_SPACES, Math.max(panel.spaces ?? 0, 0, ...spaces.keys()));
}

// The numbers that a device at a number takes up: down its own column.
export function covered(panel, space, number, most) {
  const step = (panel.columns ?? 2) === 1 ? 1 : 2;
  const poles = IN_USE.has(space?.space_kind) ? space.poles ?? 1 : 1;
  return Array.from({ length: poles }, (_, pole) => number + step * pole).filter((one) => one <= Math.max(most, number));
}

// Columns of {number, numbers, id, space}; a number under a device above is left out.
export function columnsOf(panel, spaces) {
  const most = mostOf(panel, spaces);
  const two = (panel.columns ?? 2) !== 1;
  const column = (start, step) => {
    const rows = [];
    const taken = new Set();
    for (let number = start; number <= most; number += step) {
      if (taken.has(number)) continue;
      const [id, space] = spaces.get(number) ?? [null, null];
      const numbers = covered(panel, space, number, most);
      numbers.forEach((one) => taken.add(one));
      rows.push({ number, numbers, id, space });
    }
    return rows;
  };
  return two ? [column(1, 2), column(2, 2)] : [column(1, 1)];
}

// What a painted row of numbers writes: [[rec, fields], …], a space under a device above left out.
export async function painted(visit, enclosure, numbers, brush, how) {
  const rows = [];
  for (const number of numbers) {
    const rec = await spaceId(visit, enclosure, number);
    const more = brush.fields.space_kind === "breaker" ? { how } : {};
    const held = visit.rec(rec) ? {} : { kind: "space", enclosure, number };
    rows.push([rec, { ...held, ...brush.fields, ...more }]);
  }
  return rows;
}

// Every number with nothing on it yet, for "all that is still empty".
export function stillEmpty(panel, spaces) {
  return columnsOf(panel, spaces).flat().filter((row) => !row.space).map((row) => row.number);
}

export function valueOf(space) {
  if (!space) return "";
  if (space.space_kind in EMPTY) return EMPTY[space.space_kind];
  const amps = space.amps ? `${space.amps} A` : "rating not read";
  return space.space_kind === "breaker" ? amps : `${amps} ${space.space_kind === "fuse" ? "fuse" : "pull-out"}`;
}

export function wireOf(space, word) {
  if (!space || !IN_USE.has(space.space_kind)) return "";
  if (space.how === "not_seen") return "wire not seen";
  return [space.size, space.material].filter(Boolean).map(word).join(" ");
}

export function moreOf(space, word) {
  if (!space || !IN_USE.has(space.space_kind)) return "";
  return [
    space.how === "estimated" && "estimated", (space.under_screw ?? 1) > 1 && `${space.under_screw} under a screw`,
    space.protection && space.protection !== "none" && word(space.protection), ["tripped", "damaged", "off"].includes(space.state) && space.state,
    space.tandem && "tandem",
  ].filter(Boolean).join(", ");
}
