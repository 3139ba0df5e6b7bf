import { MeasureError } from "../../../src/errors.ts";
import type { Trial, TrialMarks, WholeStudy } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";

/**
 * Moves a clip to the trial it really shows. What belongs to the clip goes with it: its marks, its ice reference,
 * its speed factor. If the other trial has a clip of its own, the two change places.
 */
export const moveClip: Command<{ from: string; to: string; name: string }> = {
  name: "moveClip",
  label: ({ name }) => `move clip ${name}`,
  run(whole, { from, to }) {
    const source = whole.study.trials.find((t) => t.id === from);
    const target = whole.study.trials.find((t) => t.id === to);
    if (!source?.clip || !target || from === to) return whole;
    if (target.clip === undefined && (whole.marks[to]?.picture ?? null) !== null) {
      throw new MeasureError(
        "target-is-marked",
        `moveClip: trial ${to} has marks and no clip`,
        "That trial still has marks from a clip that is no longer linked. Clear its marks in Measure first.",
        { trial: to },
      );
    }
    const trials = whole.study.trials.map((t) => {
      if (t === source) return showing(t, target);
      return t === target ? showing(t, source) : t;
    });
    return { study: { ...whole.study, trials }, marks: exchanged(whole, from, to) };
  },
};

function showing(trial: Trial, other: Trial): Trial {
  const { clip: _, ...rest } = trial;
  return { ...rest, speedFactor: other.speedFactor, ...(other.clip !== undefined && { clip: other.clip }) };
}

function exchanged(whole: WholeStudy, from: string, to: string): Record<string, TrialMarks> {
  const { [from]: a, [to]: b, ...others } = whole.marks;
  return {
    ...others,
    ...(a && { [to]: { ...a, trial: to } }),
    ...(b && { [from]: { ...b, trial: from } }),
  };
}
