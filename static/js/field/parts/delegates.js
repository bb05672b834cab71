// Kinds of record that have a screen of their own where others get a plain form.
import AsLeft from "../screens/as_left.js";
import Finding from "../screens/finding.js";
import Measure from "../screens/measure.js";
import Plate from "../screens/plate.js";
import Runners from "../screens/runners.js";
import Talk from "../screens/talk.js";

export const ELSEWHERE = {
  as_left: AsLeft, hand_finding: Finding, measure: Measure, plate: Plate, runner: Runners, told: Talk,
};
