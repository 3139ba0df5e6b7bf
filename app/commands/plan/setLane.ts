import { MeasureError } from "../../../src/errors.ts";
import { lengthText } from "../../../src/study/length.ts";
import type { Lane } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { withStudy } from "../withStudy.ts";

/**
 * Changes parts of the lane: distance, gates (metres from the start line), beam, start. Gates at the start and the end follow
 * the distance until somebody puts them elsewhere.
 */
export const setLane: Command<{ change: Partial<Lane>; what: string }> = {
  name: "setLane",
  label: ({ what }) => `change ${what}`,
  run(whole, { change }) {
    const before = whole.study.lane;
    const gates = change.gates ?? gatesAfter(before, change.distance ?? before.distance);
    const lane = { ...before, ...change, gates };
    if (!(lane.distance >= 0 && lane.distance < 1000)) {
      throw new MeasureError(
        "bad-lane",
        `setLane needs a distance of 0 to 1000 m, got ${lane.distance}`,
        "A lane is up to 1000 m long. Check the number and its unit.",
      );
    }
    const early = lane.gates.findIndex((gate, i) => i > 0 && gate <= lane.gates[i - 1]!);
    if (early > 0) {
      const [here, nearer] = [lane.gates[early]!, lane.gates[early - 1]!].map((g) =>
        lengthText(g, lane.unit),
      );
      throw new MeasureError(
        "gates-not-increasing",
        `setLane needs gates in order, got ${lane.gates.join(", ")} m`,
        `The gate at ${here} is not beyond the one at ${nearer}. List gates from the start line on.`,
      );
    }
    const beyond =
      lane.distance > 0 ? lane.gates.find((gate) => gate > lane.distance + 1e-9 || gate < 0) : undefined;
    if (beyond !== undefined) {
      const [gate, distance] = [beyond, lane.distance].map((g) => lengthText(g, lane.unit));
      throw new MeasureError(
        "gate-off-the-lane",
        `setLane needs gates from 0 to ${lane.distance} m, got ${beyond} m`,
        `A gate at ${gate} is not on a lane of ${distance}. Gates are counted from the start line; change the gates or the distance.`,
      );
    }
    return withStudy(whole, { lane });
  },
};

/** The gates of a lane that becomes so long. */
function gatesAfter({ gates, distance: before }: Lane, distance: number): Lane["gates"] {
  if (distance === before || !(distance > 0)) return gates;
  const atBothEnds = gates.length === 2 && gates[0] === 0 && Math.abs(gates[1]! - before) < 1e-9;
  return gates.length === 0 || atBothEnds ? [0, distance] : gates;
}
