// A visit as the ledger reads it: stops, limits, answers, findings, scope; the counterpart
// of findings/standards/visit.py and entry.py.
import { matches } from "./matching.js";
import { inRouteOrder } from "./route.js";

const SAID = {
  hatch_long_in: "the long side of the opening", hatch_short_in: "the short side of the opening",
  headroom_in: "the room under the joists or rafters", beam_clear_in: "the room under the beams",
};
const ENTERED = ["entered", "walked"];

export const belongs = (duty, kind, use) =>
  duty.stops.includes(kind) && !(duty.rooms.length && kind === "room" && !duty.rooms.includes(use));

export const condition = (duty) => duty.duty === "report" && ["if_found", "if_absent"].includes(duty.trigger);

export const asInt = (value) => (Number.isInteger(value) ? value : null);

export class VisitView {
  // scope: the systems agreed, or an empty list for all; conflicts: [{rec, field}].
  constructor({ pack, records, scope = [], index = new Map(), conflicts = [], words = {} }) {
    Object.assign(this, { pack, records, index, words });
    this.systems = scope?.length ? new Set(scope) : null;
    this.apart = new Set(conflicts.map(({ rec, field }) => `${rec} ${field}`));
    this.byKind = new Map();
    for (const id of Object.keys(records).sort()) {
      const { kind } = records[id];
      if (!this.byKind.has(kind)) this.byKind.set(kind, []);
      this.byKind.get(kind).push([id, records[id]]);
    }
    this.stops = inRouteOrder(this.byKind.get("stop") ?? []);
    this.limits = [...(this.byKind.get("limit") ?? []).map(([, limit]) => limit), ...this.#tight()];
    this.byDuty = new Map();
    for (const [id, record] of this.byKind.get("duty") ?? []) {
      if (!this.byDuty.has(record.duty)) this.byDuty.set(record.duty, []);
      this.byDuty.get(record.duty).push({ ...record, id });
    }
  }

  covers(system) {
    return this.systems === null || this.systems.has(system);
  }

  stopIds(duty) {
    const asked = (stop) => (duty.count ? duty.count.where.some((where) => matches(stop, where))
      : belongs(duty, stop.stop_kind ?? "", stop.room_use ?? ""));
    return this.stops.filter(([, stop]) => asked(stop)).map(([id]) => id);
  }

  stop(id) {
    return this.records[id] ?? {};
  }

  closed(id) {
    return Boolean(this.stop(id).closed_at);
  }

  kind(id) {
    return String(this.stop(id).stop_kind ?? "");
  }

  refs(duty, stops, house) {
    const found = this.index.get(duty.id) ?? [];
    return found.filter((ref) => house || ref.stop === "" || stops.includes(ref.stop)).map((ref) => ref.id);
  }

  placeOf(duty) {
    const stops = new Set((this.index.get(duty.id) ?? []).map((ref) => ref.stop));
    return stops.size === 1 ? [...stops][0] : "";
  }

  answers(duty, stops) {
    return (this.byDuty.get(duty.id) ?? []).filter((record) => !record.stop || stops.includes(record.stop));
  }

  inConflict(rec, field) {
    return this.apart.has(`${rec} ${field}`);
  }

  // Stops that were not entered and need not have been: measured smaller than the state asks.
  #tight() {
    const found = [];
    for (const [, way] of this.byKind.get("way_in") ?? []) {
      const stopId = String(way.stop ?? "");
      const stop = this.records[stopId] ?? {};
      if (ENTERED.includes(stop.method)) continue;
      const space = String(way.space || stop.stop_kind || "");
      const because = this.#tooSmall(way, space);
      if (because && space === stop.stop_kind) found.push({ reason: "low_clearance", text: because, reach: [stopId] });
    }
    return found;
  }

  #tooSmall(way, space) {
    if (way.how_known !== "measured") return "";
    const said = [];
    for (const limit of this.pack.access_limits ?? []) {
      if (limit.space !== space && limit.space !== "any") continue;
      for (const [field, least] of Object.entries(limit.needs)) {
        const value = way[field] === undefined || way[field] === null || way[field] === "" ? NaN : Number(way[field]);
        if (!Number.isNaN(value) && value < least) said.push(`${SAID[field]} measures ${short(value)} in, entry is asked from ${short(least)} in`);
      }
    }
    return [...new Set(said)].join("; ");
  }
}

// As Python's format "g": six digits, no trailing zeros.
const short = (number) => String(Number(number.toPrecision(6)));
