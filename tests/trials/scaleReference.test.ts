import { describe, expect, it } from "vitest";
import type { CameraSetup, IceReference, WholeStudy } from "../../src/study/types.ts";
import { scaleReference } from "../../src/trials/scaleReference.ts";
import { trialInput } from "../../src/trials/trialInput.ts";
import { demo } from "../helpers/demoReadings.ts";

const [ONE, TWO, THREE] = ["aino-close-1", "aino-open-1", "bea-close-1"];

function withSetup(
  setup: Partial<CameraSetup>,
  references: Record<string, IceReference | null> = {},
): WholeStudy {
  const whole = demo();
  const marks = { ...whole.marks };
  for (const [trial, iceReference] of Object.entries(references))
    marks[trial] = { ...marks[trial]!, iceReference };
  const setups = [{ id: "s1", name: "front", trials: [], ...setup }];
  return { study: { ...whole.study, setups }, marks };
}

describe("what a trial's scale is fitted to", () => {
  it("is its own where it is in no set-up, or alone in one", () => {
    const whole = demo();
    expect(scaleReference(whole, ONE)).toBe(whole.marks[ONE]!.iceReference);
    expect(scaleReference(withSetup({ trials: [{ trial: ONE }] }), ONE)?.kind).toBe("ice-points");
  });

  it("is all clips of its set-up together, the same object until one of them changes", () => {
    const trials = [{ trial: ONE }, { trial: TWO, like: { trial: ONE, by: "said" } as const }];
    const whole = withSetup({ trials }, { [TWO]: null });
    const found = scaleReference(whole, TWO)!;
    if (found.kind !== "set-up") throw new Error(found.kind);
    expect(found.setup.clips.map((c) => [c.trial, c.points.length > 3])).toEqual([
      [ONE, true],
      [TWO, false],
    ]);
    expect(scaleReference({ ...whole, marks: { ...whole.marks } }, TWO)).toBe(found);
    const input = trialInput(whole, TWO);
    expect(trialInput(whole, TWO)).toBe(input);
    const own = whole.marks[ONE]!;
    const moved = { ...own, iceReference: { ...own.iceReference! } };
    const after = { ...whole, marks: { ...whole.marks, [ONE]: moved } };
    // A point moved on another clip changes what this one is measured from.
    expect(trialInput(after, TWO)).not.toBe(input);
    expect(scaleReference(after, THREE)).toBe(whole.marks[THREE]!.iceReference);
  });

  it("has no clips of another picture size, and none whose points are somebody else's copied", () => {
    const trials = [{ trial: ONE }, { trial: TWO }, { trial: THREE }];
    const { iceReference } = demo().marks[ONE]!;
    const whole = withSetup({ trials }, { [TWO]: { ...iceReference!, copiedFrom: ONE } });
    const picture = { ...whole.marks[THREE]!.picture!, width: 640 };
    const marks = { ...whole.marks, [THREE]: { ...whole.marks[THREE]!, picture } };
    const found = scaleReference({ ...whole, marks }, ONE)!;
    if (found.kind !== "set-up") throw new Error(found.kind);
    expect(found.setup.clips.map((c) => [c.trial, c.points.length > 0])).toEqual([
      [ONE, true],
      [TWO, false],
    ]);
  });

  it("is the known lengths of the clip it is like, told as unchecked while that is only said", () => {
    const lengths: IceReference = {
      kind: "known-lengths",
      lengths: [{ x1Px: 1, y1Px: 2, x2Px: 300, y2Px: 4, length: 3 }],
    };
    const by = (word: "said" | "looked") =>
      scaleReference(
        withSetup(
          { trials: [{ trial: ONE }, { trial: TWO, like: { trial: ONE, by: word } }] },
          { [ONE]: lengths, [TWO]: null },
        ),
        TWO,
      );
    expect(by("said")).toEqual({ ...lengths, copiedFrom: ONE });
    expect(by("looked")).toBe(lengths);
  });
});
