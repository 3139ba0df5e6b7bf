import { describe, expect, it } from "vitest";
import { trialReading } from "../../app/store/readings.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { trialInput } from "../../src/trials/trialInput.ts";
import { demo } from "../helpers/demoReadings.ts";

const TRIAL = "aino-close-1";
const OTHER = "bea-open-1";

/** The study with every mark of a trial so many px to the right, as new objects. */
function moved(whole: WholeStudy, trial: string, px: number): WholeStudy {
  const of = whole.marks[trial]!;
  const marks = of.marks.map((m) => ({ ...m, xPx: m.xPx + px }));
  return { ...whole, marks: { ...whole.marks, [trial]: { ...of, marks } } };
}

function withStudy(whole: WholeStudy, part: Partial<WholeStudy["study"]>): WholeStudy {
  return { ...whole, study: { ...whole.study, ...part } };
}

describe("what a trial is measured from", () => {
  it("is the same object as long as nothing in it has changed", () => {
    const whole = demo();
    const input = trialInput(whole, TRIAL);
    expect(trialInput(whole, TRIAL)).toBe(input);
    expect(trialInput(withStudy(whole, {}), TRIAL)).toBe(input);
    // Another trial marked anew, at the same places.
    expect(trialInput(moved(whole, OTHER, 0), TRIAL)).toBe(input);
  });

  it("is another one when anything in it has", () => {
    const whole = demo();
    const input = trialInput(whole, TRIAL);
    const { study } = whole;
    const changed: readonly WholeStudy[] = [
      moved(whole, TRIAL, 1),
      withStudy(whole, { markSdPx: study.markSdPx + 1 }),
      withStudy(whole, {
        trials: study.trials.map((t) => ({ ...t, speedFactor: t.speedFactor * 2 })),
      }),
      withStudy(whole, { skaters: study.skaters.map((s) => ({ ...s, body: { hipHeight: 0.8 } })) }),
    ];
    for (const other of changed) expect(trialInput(other, TRIAL)).not.toBe(input);
  });

  it("is another one when another trial's repeat marks say otherwise of the hand", () => {
    const whole = demo();
    const input = trialInput(whole, TRIAL);
    const of = whole.marks[OTHER]!;
    const again = of.marks.map((m, k) => ({ ...m, pass: 2 as const, xPx: m.xPx + (k % 2 ? 3 : -3) }));
    const twice = { ...whole, marks: { ...whole.marks, [OTHER]: { ...of, marks: [...of.marks, ...again] } } };
    expect(trialInput(twice, TRIAL)).not.toBe(input);
  });
});

describe("what the window remembers of a trial", () => {
  it("is one object for one input, also where nothing can be measured", () => {
    const whole = demo();
    expect(trialReading(withStudy(whole, {}), TRIAL)).toBe(trialReading(whole, TRIAL));
    const unmarked = { ...whole, marks: {} };
    const refused = trialReading(unmarked, TRIAL);
    expect(refused.ok).toBe(false);
    expect(trialReading({ ...unmarked }, TRIAL)).toBe(refused);
  });
});
