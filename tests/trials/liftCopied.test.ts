import { describe, expect, it } from "vitest";
import { liftCopiedScales } from "../../app/commands/ice/liftCopiedScales.ts";
import { setLens } from "../../app/commands/ice/setLens.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { IceReference, WholeStudy } from "../../src/study/types.ts";
import { liftCopied } from "../../src/trials/liftCopied.ts";
import { trialInput } from "../../src/trials/trialInput.ts";
import { demo } from "../helpers/demoReadings.ts";

const [ONE, TWO, THREE] = ["aino-close-1", "aino-open-1", "bea-close-1"];

type Points = Extract<IceReference, { kind: "ice-points" }>;

/** The demo as older studies were: the first trial's scale copied to the second, and from there to the third. */
function older(change: (copy: Points) => IceReference = (copy) => copy): WholeStudy {
  const whole = demo();
  const own = whole.marks[ONE]!.iceReference as Points;
  const copy = (from: string) => change({ ...own, copiedFrom: from });
  const marks = {
    ...whole.marks,
    [TWO]: { ...whole.marks[TWO]!, iceReference: copy(ONE) },
    [THREE]: { ...whole.marks[THREE]!, iceReference: copy(TWO) },
  };
  return { ...whole, marks };
}

const codes = (whole: WholeStudy, trial: string) =>
  measureTrial(trialInput(whole, trial)).scale?.warnings.map((w) => w.code);

describe("scales that an older study copied", () => {
  it("become one camera set-up, by word, and measure as little as the copies did", () => {
    const before = older();
    const after = liftCopied(before);
    const { setups } = after.study;
    expect(setups).toHaveLength(1);
    expect(setups![0]!.trials).toEqual([
      { trial: ONE },
      { trial: TWO, like: { trial: ONE, by: "said" } },
      { trial: THREE, like: { trial: ONE, by: "said" } },
    ]);
    expect(after.marks[TWO]!.iceReference).toBeNull();
    expect(after.marks[ONE]).toBe(before.marks[ONE]);
    // Everything else of the trials stands as it stood.
    for (const id of [TWO, THREE]) {
      const { iceReference: _, ...rest } = after.marks[id]!;
      const { iceReference: __, ...was } = before.marks[id]!;
      expect(rest).toEqual(was);
      expect(codes(before, id)).toContain("scale-copied");
      expect(codes(after, id)).toContain("scale-copied");
      for (const whole of [before, after])
        expect(measureTrial(trialInput(whole, id)).trial.stride_width_m).not.toHaveProperty("mean");
    }
    const widths = (whole: WholeStudy) => measureTrial(trialInput(whole, ONE)).trial.stride_width_m;
    expect("mean" in widths(before)).toBe(true);
    expect(codes(after, ONE)).toEqual(codes(before, ONE));
    expect(liftCopied(after)).toBe(after);
  });

  it("stay where the copy says more than the trial it came from", () => {
    const moved = (copy: Points) => ({
      ...copy,
      points: copy.points.map((p, k) => (k === 0 ? { ...p, xPx: p.xPx + 2 } : p)),
    });
    const checked = (copy: Points) => ({
      ...copy,
      rechecks: [{ frame: 90, label: copy.points[0]!.label, xPx: 10, yPx: 10 }],
    });
    const panned = (copy: Points): IceReference => ({
      ...{ kind: "ice-points-by-frame", frames: [{ frame: 3, points: copy.points }] },
      copiedFrom: copy.copiedFrom!,
    });
    for (const change of [moved, checked, panned]) {
      const whole = older(change);
      expect(liftCopied(whole)).toBe(whole);
    }
    const whole = older();
    const gone = { ...whole, marks: { ...whole.marks, [ONE]: { ...whole.marks[ONE]!, iceReference: null } } };
    expect(liftCopied(gone)).toBe(gone);
    const picture = { ...whole.marks[TWO]!.picture!, width: 1920, height: 1080 };
    const larger = { ...whole, marks: { ...whole.marks, [TWO]: { ...whole.marks[TWO]!, picture } } };
    expect(liftCopied(larger).marks[TWO]).toBe(larger.marks[TWO]);
  });

  it("are lifted as a step that can be taken back", () => {
    const before = older();
    expect(liftCopiedScales.run(before, {})).not.toBe(before);
    expect(liftCopiedScales.run(demo(), {}).study.setups).toBeUndefined();
  });

  it("share the lens that was said of the first, which stands with the set-up from then on", () => {
    const said = { k1: -0.04 };
    const whole = older((copy) => ({ ...copy, lens: said }));
    const first = whole.marks[ONE]!;
    const own = { ...(first.iceReference as Points), lens: said };
    const lifted = liftCopied({
      ...whole,
      marks: { ...whole.marks, [ONE]: { ...first, iceReference: own } },
    });
    expect(lifted.study.setups![0]!.lens).toEqual(said);
    const changed = setLens.run(lifted, { trial: ONE, lens: { k1: -0.05 } });
    expect(changed.study.setups![0]!.lens).toEqual({ k1: -0.05 });
    expect((changed.marks[ONE]!.iceReference as Points).lens).toBeUndefined();
    expect(setLens.run(changed, { trial: ONE, lens: null }).study.setups![0]!.lens).toBeUndefined();
  });
});
