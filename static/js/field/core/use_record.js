// A record that comes into being with its first answer. Answers are written one after the
// other, so that two quick ones never make two records.
import { useTurns } from "./turns.js";
import { useRef, useState } from "./ui.js";

// {rec, record, save(fields), begin()}: `rec` is null until something was said.
export function useRecord(app, visit, kind, preset = {}, known = null) {
  const [rec, setRec] = useState(() => known ?? app.place.take(visit, kind, preset));
  const held = useRef(rec);
  const inTurn = useTurns(app);
  const make = async (fields) => {
    held.current = await visit.make(kind, { ...preset, ...fields });
    setRec(held.current);
    app.place.hold(kind, held.current);
    return held.current;
  };
  const save = (fields) => inTurn(async () => {
    if (held.current) {
      await visit.set(held.current, fields);
      return held.current;
    }
    return Object.values(fields).some((value) => value !== null && value !== undefined) ? make(fields) : null;
  });
  const begin = () => inTurn(() => held.current ?? make({}));
  return { rec, record: (rec && visit.rec(rec)) || {}, save, begin, forget: () => { held.current = null; setRec(null); } };
}
