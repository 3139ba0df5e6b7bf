import { describe, expect, it } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { keptMotion } from "../../src/motion/keptMotion.ts";
import { steadied } from "../../src/motion/steadyReference.ts";
import { parseMarks } from "../../src/study/parseMarks.ts";
import type { ClipMotion, IceReference, TrialMarks } from "../../src/study/types.ts";
import { trialInput } from "../../src/trials/trialInput.ts";
import { demo } from "../helpers/demoReadings.ts";

const TRIAL = "aino-close-1";
const whole = demo();
const marks = whole.marks[TRIAL]!;
const picture = marks.picture!;
const LAST = Math.max(...marks.marks.map((m) => m.frame)) + 10;

/** A picture that lies `x(n)` px to the right of where it lay on frame 0, known to 0.05 px. */
function motion(x: (n: number) => number, more: Partial<ClipMotion> = {}): ClipMotion {
  const frames = Array.from({ length: LAST + 1 }, (_, n) => [1, 0, x(n), 0, 1, 0, 0, 0, 0.05, 0.02]);
  return { clip: picture.clip, still: false, noisePx: 0.05, first: 0, frames, bumps: [], ...more };
}

/** Ice points as put on one frame. */
type Points = Extract<IceReference, { kind: "ice-points" }>;

function putOn(frame: number | null): Points {
  const reference = marks.iceReference as Points;
  return { ...reference, points: reference.points.map((p) => (frame === null ? p : { ...p, frame })) };
}

const widths = (its: TrialMarks) =>
  measureTrial(trialInput({ ...whole, marks: { ...whole.marks, [TRIAL]: its } }, TRIAL)).strides.map(
    ({ readings }) => readings.stride_width_m,
  );

/** Everything marked lies where the picture has moved it. */
function movedMarks(x: (n: number) => number): TrialMarks["marks"] {
  return marks.marks.map((m) => ({ ...m, xPx: m.xPx + x(m.frame) }));
}

describe("the picture that stands still", () => {
  it("changes nothing, to the last bit, of a camera that stood still", () => {
    const still: ClipMotion = { ...motion(() => 0), still: true, frames: [] };
    expect(widths({ ...marks, motion: still })).toEqual(widths(marks));
  });

  it("takes out what moves every other frame by 6 px: widths are those of the clip that stood still", () => {
    const x = (n: number) => (n % 2 === 0 ? 6 : -6);
    const moved = { ...marks, marks: movedMarks(x), iceReference: putOn(0) };
    // The ice points lie where frame 0 has them: the picture moves against that.
    const shifted = (n: number) => x(n) - x(0);
    const its = { ...moved, marks: movedMarks(shifted) };
    const [plain, wrong, right] = [widths(marks), widths(its), widths({ ...its, motion: motion(shifted) })];
    for (const [k, reading] of plain.entries()) {
      if (reading.value === null || right[k]!.value === null) continue;
      expect(right[k]!.value).toBeCloseTo(reading.value, 4);
      expect(right[k]!.u95! / reading.u95).toBeGreaterThan(1);
      expect(right[k]!.u95! / reading.u95).toBeLessThan(1.02);
    }
    const off = plain.map((p, k) => Math.abs((p.value ?? 0) - (wrong[k]!.value ?? 0)));
    expect(Math.max(...off)).toBeGreaterThan(0.02);
  });

  it("is the mean of what is told: ice points put on any frame give the same", () => {
    const x = (n: number) => 3 * Math.sin(n);
    const on = (frame: number) => {
      const reference = putOn(frame);
      const points = reference.points.map((p) => ({ ...p, xPx: p.xPx + x(frame) - x(0) }));
      return {
        ...marks,
        marks: movedMarks((n) => x(n) - x(0)),
        iceReference: { ...reference, points },
        motion: motion((n) => x(n) - x(0)),
      };
    };
    const [first, later] = [widths(on(0)), widths(on(40))];
    for (const [k, r] of first.entries())
      if (r.value !== null) expect(later[k]!.value).toBeCloseTo(r.value, 6);
  });

  it("counts all that the picture moves where the frame of the ice points is not said, and says so in u95", () => {
    const x = (n: number) => (n % 2 === 0 ? 4 : -4);
    const its = { ...marks, motion: motion(x) };
    const { steady } = steadied(its.motion, putOn(null), picture, 1)!;
    expect(steady.common!.shiftPx).toBeCloseTo(4 / Math.SQRT2, 1);
    expect(steadied(its.motion, putOn(0), picture, 1)!.steady.common).toBeNull();
  });

  it("does not carry ice points over a knock, and says so in words; nor where the camera pans", () => {
    const knock = 200;
    const bumped = motion((n) => (n >= knock ? 7 : 0), { bumps: [{ frame: knock, dxPx: 7, dyPx: 0 }] });
    const { steady } = steadied(bumped, putOn(3), picture, 1)!;
    expect(steady.whyNot(20)).toBeNull();
    expect(steady.whyNot(260)).toMatch(/knocked at frame 200.*do not serve frame 260.*after it/);
    expect(steady.whyNot(199)).toMatch(/knocked around frame 200/);
    expect(steadied(bumped, putOn(250), picture, 1)!.steady.whyNot(20)).toMatch(/before it/);
    expect(steadied(bumped, putOn(null), picture, 1)!.steady.whyNot(20)).toMatch(
      /nobody said on which frame/,
    );
    const pan = steadied(
      motion((n) => n),
      putOn(0),
      picture,
      1,
    )!.steady;
    expect(pan.whyNot(0)).toMatch(/pans/);
    expect(pan.whyNot(Math.round(LAST / 2))).toBeNull();
  });

  it.each([0, 1])(
    "of a side of a knock on which %i frames tell, the picture moves as on the other",
    (tell) => {
      const knock = 200;
      const x = (n: number) => (n % 2 === 0 ? 4 : -4) + (n >= knock ? 9 : 0);
      const found = motion(x, { bumps: [{ frame: knock, dxPx: 9, dyPx: 0 }] });
      const frames = found.frames.map((f, n) =>
        n >= knock + 10 + tell ? null : n >= knock && n < knock + 10 ? null : f,
      );
      const { steady } = steadied({ ...found, frames }, putOn(250), picture, 1)!;
      // 4 px either way across, none down: per coordinate 4 / √2, of frames on the knock's far side too.
      expect(steady.doubt(150)).toEqual(steady.doubt(152));
      expect(steady.doubt(260).shiftPx).toBeCloseTo(4 / Math.SQRT2, 1);
    },
  );

  it("says how much the picture shakes, what is left, and where it could not be told", () => {
    const x = (n: number) => (n % 2 === 0 ? 2 : -2);
    const found = motion(x);
    const frames = found.frames.map((f, n) => (n % 10 === 5 ? null : f));
    const { steady } = steadied({ ...found, frames }, putOn(0), picture, 1)!;
    const { jitterPx, leftPx, told } = steady.summary;
    // Across by 2 px either way, down not at all: per coordinate 2 / √2.
    expect(jitterPx.value).toBeCloseTo(Math.SQRT2, 1);
    expect(leftPx).toBeCloseTo(0.05, 6);
    expect(told).toBe(frames.filter((f) => f !== null).length);
    expect(steady.doubt(5).shiftPx).toBeCloseTo(Math.SQRT2, 1);
    expect(steady.warnings.map((w) => w.code)).toEqual(["background-lost", "camera-shakes"]);
  });

  it("is kept with the trial's marks to a thousandth of a pixel", () => {
    const map = [1.0001, 0.00021, 3.15159, -0.00021, 1.0001, -2.73828, 1e-7, -2e-7, 1];
    const variance = { dxPx: 0.03 ** 2, dyPx: 0.03 ** 2, turnDeg: 1e-8, scale: 1e-10 };
    const told = { dxPx: 3, dyPx: -3, turnDeg: 0, scale: 1, map, variance };
    const judged = { frames: [told, null], still: false, noisePx: 0.05, bumps: [], warnings: [] };
    const kept = keptMotion(judged, picture.clip, 12, picture);
    const file = parseMarks(JSON.parse(JSON.stringify({ ...marks, motion: kept })));
    expect(file.motion).toEqual(kept);
    expect(kept.frames[1]).toBeNull();
    const at = (m: readonly number[], x: number, y: number) => {
      const w = m[6]! * x + m[7]! * y + 1;
      return [(m[0]! * x + m[1]! * y + m[2]!) / w, (m[3]! * x + m[4]! * y + m[5]!) / w];
    };
    for (const [x, y] of [
      [0, 0],
      [1279, 719],
    ] as const)
      for (const k of [0, 1]) expect(at(kept.frames[0]!, x, y)[k]).toBeCloseTo(at(map, x, y)[k]!, 3);
    // Its own noise and what all places err by alike.
    expect(kept.frames[0]![8]).toBeCloseTo(Math.hypot(0.03, 0.04), 4);
  });
});
