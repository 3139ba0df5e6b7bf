import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import { blameMoving } from "../../src/ice/moving/blameMoving.ts";
import { chooseModel, misfitOf } from "../../src/ice/moving/chooseModel.ts";
import { BLAME_EFFORT, Effort, pointsIn, SEARCH_EFFORT } from "../../src/ice/moving/effort.ts";
import type { FramePoints, IceReference } from "../../src/study/types.ts";
import { pannedTrial } from "../helpers/pannedTrial.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

/*
 * Two labels exchanged on one frame: no camera sees these points so, and looking for one would go on for a minute. Work is
 * counted in points seen through a camera, so that the test says the same on every machine.
 */

const skater = simulateSkater({ ...ORDINARY, strides: 8, speed: 7, startX: 2 });
const PICTURE = { width: 1920, height: 1080 };
const LENS = { k1: -0.1 };

function framesOf(exchanged: boolean): readonly FramePoints[] {
  const { input } = pannedTrial(skater, {
    from: [45, 0.3, 3],
    aimAt: (time) => [4 + 7 * time, 0],
    hfovAt: () => 20,
    ...{ fps: 60, noisePx: 1, statedSdPx: 1, random: seeded(7), keyPoints: 8, framePoints: 8, keyFrames: 3 },
  });
  const reference = input.iceReference as Extract<IceReference, { kind: "ice-points-by-frame" }>;
  if (!exchanged) return reference.frames;
  const [first, second] = reference.frames[2]!.points;
  return reference.frames.map((f, k) =>
    k !== 2
      ? f
      : {
          ...f,
          points: f.points.map((p) => {
            if (p === first) return { ...p, x: second!.x, y: second!.y };
            return p === second ? { ...p, x: first!.x, y: first!.y } : p;
          }),
        },
  );
}

/**
 * The last round is done to its end: two derivatives of seven parameters (28 looks at each point), and a step tried at each
 * damping from 1e-12 to 1e10 (23), with a look before and after; 80 is beyond all that.
 */
const ONE_ROUND = 80;

describe("the work of a joint fit to impossible points", () => {
  const good = framesOf(false);
  const bad = framesOf(true);

  it("is a part of what is allowed where the points belong together", () => {
    const effort = new Effort(Number.POSITIVE_INFINITY);
    const fit = chooseModel({ frames: good, picture: PICTURE, markSdPx: 1 }, null, null, effort);
    expect(misfitOf(fit)).toBeLessThan(1.4);
    expect(effort.spent).toBeLessThan((SEARCH_EFFORT * pointsIn(good)) / 3);
  });

  it.each([null, LENS])("ends where it is told to, with a given lens of %j", (lens) => {
    const allowed = (SEARCH_EFFORT / 2) * pointsIn(bad);
    const effort = new Effort(allowed);
    const fit = chooseModel({ frames: bad, picture: PICTURE, markSdPx: 1 }, lens, null, effort);
    expect(misfitOf(fit)).toBeGreaterThan(3);
    expect(effort.spent).toBeGreaterThan(allowed / 2);
    expect(effort.spent).toBeLessThan(allowed + ONE_ROUND * pointsIn(bad));
    const forBlame = new Effort(BLAME_EFFORT * pointsIn(bad));
    blameMoving({ frames: bad, picture: PICTURE, markSdPx: 1 }, fit, forBlame);
    expect(forBlame.spent).toBeLessThan((BLAME_EFFORT + ONE_ROUND) * pointsIn(bad));
  });

  it("is refused with a reason where it ends before any camera is found", () => {
    const tried = () =>
      chooseModel(
        { frames: bad, picture: PICTURE, markSdPx: 1 },
        LENS,
        null,
        new Effort(100 * pointsIn(bad)),
      );
    expect(tried).toThrow(expect.objectContaining({ code: "moving-camera-not-found" }));
  });

  it("names the worst point, and is not done again for the same reference", () => {
    const reference: IceReference = { kind: "ice-points-by-frame", frames: bad };
    const refusals = [1, 2].map(() => {
      try {
        return fitScale(reference, PICTURE, 1, LENS);
      } catch (error) {
        return error;
      }
    });
    expect(refusals[0]).toBeInstanceOf(MeasureError);
    const { frame } = bad[2]!;
    expect(refusals[0]).toMatchObject({
      code: "ice-points-disagree",
      coach: expect.stringContaining(`on frame ${frame}`),
    });
    expect(refusals[1]).toBe(refusals[0]);
  });
});
