// What is entered quickly is written one after the other, so that an answer and its words, or
// two taps, never make two records.
import { useRef } from "./ui.js";

// A function that saves in its turn; it gives what `app.saving` gives.
export function useTurns(app) {
  const turn = useRef(Promise.resolve());
  return (work) => {
    turn.current = turn.current.then(() => app.saving(work));
    return turn.current;
  };
}
