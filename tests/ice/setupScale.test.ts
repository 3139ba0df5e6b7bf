import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { SetupClip, SetupClips } from "../../src/ice/setup/setupClips.ts";
import type { IcePoint, LikeClip } from "../../src/study/types.ts";
import { exactly, Sources, weightedSum } from "../../src/uncertainty/uncertain.ts";
import { normal, seeded } from "../helpers/random.ts";

/**
 * Clips filmed from one tripod by a camera written for these tests alone: lens, principal point and a head that turns 10 cm behind
 * the lens are its own, and are not what the fit takes for granted.
 */
const PICTURE = { width: 1920, height: 1080 };
const PLACES: readonly (readonly [number, number])[] = [
  [6, -2.5],
  [6, 2.5],
  [11, -2.5],
  [11, 2.5],
  [16, -2.5],
  [16, 2.5],
  [21, -2.5],
  [21, 2.5],
];

interface Filmed {
  readonly from?: readonly [number, number, number];
  readonly focalPx?: number;
  readonly k1?: number;
  readonly off?: readonly [number, number];
  /** Pan to the right and tilt down, rad. */
  readonly pan?: number;
  readonly tilt?: number;
}

type See = (x: number, y: number, z?: number) => readonly [number, number];

function camera({
  from = [-8, -1, 2.5],
  focalPx = 1507,
  k1 = 0,
  off = [0, 0],
  pan = 0,
  tilt = 0,
}: Filmed = {}): See {
  const ahead0 = Math.atan2(1, 22);
  const azimuth = ahead0 - pan;
  const down = Math.atan2(2.5, 22) + tilt;
  const [hx, hy] = [from[0] - 0.1 * Math.cos(ahead0), from[1] - 0.1 * Math.sin(ahead0)];
  const [cx, cy] = [hx + 0.1 * Math.cos(azimuth), hy + 0.1 * Math.sin(azimuth)];
  return (x, y, z = 0) => {
    const ahead = (x - cx) * Math.cos(azimuth) + (y - cy) * Math.sin(azimuth);
    const left = -(x - cx) * Math.sin(azimuth) + (y - cy) * Math.cos(azimuth);
    const up = z - from[2];
    const depth = ahead * Math.cos(down) - up * Math.sin(down);
    const [u, v] = [-left / depth, (-ahead * Math.sin(down) - up * Math.cos(down)) / depth];
    const bent = 1 + k1 * (u * u + v * v);
    return [959.5 + off[0] + focalPx * u * bent, 539.5 + off[1] + focalPx * v * bent];
  };
}

function marked(
  see: See,
  which: readonly number[],
  { sd = 0, tape = 0, random = seeded(1) } = {},
): IcePoint[] {
  return which.map((k) => {
    const [x, y] = PLACES[k]!;
    const [xPx, yPx] = see(x, y);
    const mark = { label: `P${k + 1}`, x, y, xPx: xPx + sd * normal(random), yPx: yPx + sd * normal(random) };
    return tape > 0 ? { ...mark, u: tape } : mark;
  });
}

const ALL = [0, 1, 2, 3, 4, 5, 6, 7];
const setupOf = (clips: readonly SetupClip[]): SetupClips => ({ id: "s", name: "from the start", clips });
const scaleOf = (clips: readonly SetupClip[], trial: string, sd = 1) =>
  fitScale({ kind: "set-up", setup: setupOf(clips), trial }, PICTURE, sd);
const codes = (clips: readonly SetupClip[], trial: string) =>
  scaleOf(clips, trial).summary.warnings.map((w) => w.code);

function refusal(work: () => unknown): MeasureError {
  try {
    work();
  } catch (error) {
    if (error instanceof MeasureError) return error;
    throw error;
  }
  throw new Error("it was not refused");
}

/** What a far background does when the camera pans and tilts, by its own pinhole. */
function like(trial: string, pan: number, tilt: number, by: LikeClip["by"] = "background"): LikeClip {
  const far = (see: See) => see(-8 + 2200, -1 + 100, 2.5 - 250);
  const [before, after] = [far(camera()), far(camera({ pan, tilt }))];
  return { trial, by, dxPx: after[0] - before[0], dyPx: after[1] - before[1], turnDeg: 0, uPx: 0.1 };
}

describe("one scale for the clips of a camera set-up", () => {
  const turned = { pan: 0.004, tilt: -0.003 };
  const first: SetupClip = { trial: "a", points: marked(camera(), ALL) };

  it("holds in a clip with two of its points, and in one with none whose background tells the turn", () => {
    const see = camera(turned);
    for (const clip of [
      { trial: "b", points: marked(see, [1, 6]) },
      { trial: "b", points: [], like: like("a", turned.pan, turned.tilt) },
    ]) {
      const { toIce, toPicture, summary } = scaleOf([first, clip], "b");
      const [xPx, yPx] = see(13, 0.7);
      const place = toIce({ xPx, yPx })!;
      expect(Math.hypot(place.x - 13, place.y - 0.7)).toBeLessThan(0.02);
      expect(toPicture(13, 0.7)!.xPx).toBeCloseTo(xPx, 0);
      // A point in the air needs the camera, not only the ice.
      expect(toPicture(13, 0.7, 0.9)!.yPx).toBeCloseTo(see(13, 0.7, 0.9)[1], 0);
      const { clips, sharedPoints } = summary.setup!;
      expect(sharedPoints).toBe(8);
      // It panned to the right, so what was in the middle is seen farther left; it tilted up, so lower.
      expect(clips[1]!.dxPx.value).toBeCloseTo(-1507 * 0.004, 0);
      expect(clips[1]!.dyPx.value).toBeCloseTo(1507 * 0.003, 0);
    }
  });

  it("measures nothing on a clip tied by word alone, at any step, until somebody has looked", () => {
    const joined = (by: LikeClip["by"]) => [first, { trial: "b", points: [], like: { trial: "a", by } }];
    expect(codes(joined("said"), "b")).toEqual(["scale-copied"]);
    expect(codes(joined("looked"), "b")).toEqual([]);
    expect(codes(joined("said"), "a")).toEqual([]);
    const unproven = (clips: readonly SetupClip[], trial: string) => scaleOf(clips, trial).unprovenWhy;
    expect(unproven(joined("said"), "b")).toMatch(/^Only somebody's word/);
    expect([unproven(joined("looked"), "b"), unproven(joined("said"), "a")]).toEqual([undefined, undefined]);
    const further = { trial: "c", points: [], like: like("b", 0.001, 0) };
    expect(unproven([...joined("said"), further], "c")).toMatch(/^Only somebody's word/);
    expect(unproven([...joined("looked"), further], "c")).toBeUndefined();
    // It is drawn where the other one looks, and tells the others nothing: not even by a point far off.
    const [xPx, yPx] = camera()(13, 0.7);
    expect(scaleOf(joined("said"), "b").toIce({ xPx, yPx })!.x).toBeCloseTo(13, 1);
    const off = marked(camera({ pan: 0.05 }), [2]);
    const drawn = scaleOf([first, { trial: "b", points: off, like: { trial: "a", by: "said" } }], "a");
    expect(drawn.summary.camera!.x).toBeCloseTo(scaleOf([first], "a").summary.camera!.x, 2);
    const at = (clips: readonly SetupClip[], trial: string) =>
      scaleOf(clips, trial)
        .ground(new Sources())
        .place({ u: exactly(960), v: exactly(600) }, 0)!;
    // Three pixels of doubt (SD) about how it looks are part of every ±.
    expect(at(joined("looked"), "b").x.u).toBeGreaterThan(at(joined("looked"), "a").x.u);
  });

  it("leaves out a clip of which nothing is known, and refuses to measure it", () => {
    const alone = { trial: "b", points: marked(camera(), [2]) };
    expect(refusal(() => scaleOf([first, alone], "b"))).toMatchObject({ code: "not-in-set-up" });
    expect(scaleOf([first, alone], "a").summary.setup!.left).toEqual(["b"]);
    const few = { trial: "a", points: marked(camera(), [0, 3, 6]) };
    expect(refusal(() => scaleOf([few], "a")).code).toBe("set-up-without-points");
  });

  it("tells a clip filmed with another zoom or from another place", () => {
    const zoomed = { trial: "b", points: marked(camera({ focalPx: 1700 }), ALL) };
    const elsewhere = { trial: "b", points: marked(camera({ from: [-7.6, -1, 2.5] }), ALL) };
    for (const clip of [zoomed, elsewhere]) {
      const third = { trial: "c", points: marked(camera(turned), ALL) };
      try {
        expect(codes([first, third, clip], "b")).toContain("clip-unlike-set-up");
      } catch (error) {
        if (!(error instanceof MeasureError)) throw error;
        expect(["set-up-zoomed", "ice-points-disagree"]).toContain(error.code);
      }
    }
    expect(codes([first, { trial: "c", points: marked(camera(turned), ALL) }], "c")).toEqual([]);
    // Four points that no turn of the others' camera shows, its own half a metre aside: told, and nothing measured with it.
    const carried = { trial: "b", points: marked(camera({ from: [-7.8, -0.6, 2.5] }), [0, 3, 6, 7]) };
    const { summary, unprovenWhy } = scaleOf([first, carried], "b");
    expect(summary.warnings.map((w) => w.code)).toContain("clip-unlike-set-up");
    expect(unprovenWhy).toMatch(/does not go with the others/);
  });

  it("sees with points pressed again that the camera was knocked within a clip", () => {
    const see = camera({ tilt: 0.004 });
    const again = (by: See) =>
      ALL.slice(0, 3).map((k) => {
        const [xPx, yPx] = by(...(PLACES[k] as [number, number]));
        return { frame: 90, label: `P${k + 1}`, xPx, yPx };
      });
    const clip = { trial: "b", points: marked(camera(turned), ALL) };
    const still = (by: See) => scaleOf([first, { ...clip, rechecks: again(by) }], "b").summary.still!;
    expect(still(camera(turned))).toMatchObject({ points: 3, frames: 1, moved: false });
    expect(still(see).moved).toBe(true);
  });

  it("holds the truth in 95 of 100 intervals, by cameras unlike its assumptions", () => {
    const random = seeded(21);
    let [held, all, wide, alone] = [0, 0, 0, 0];
    for (let draw = 0; draw < 24; draw++) {
      const own = { k1: 0.05 * normal(random), off: [20 * normal(random), 20 * normal(random)] as const };
      const see = camera({ ...own, pan: 0.003 * normal(random), tilt: 0.003 * normal(random) });
      const clips = [
        { trial: "a", points: marked(camera(own), ALL, { sd: 1, random }) },
        { trial: "b", points: marked(camera({ ...own, pan: 0.002 }), ALL, { sd: 1, random }) },
        { trial: "c", points: marked(see, [0, 3, 6], { sd: 1, random }) },
      ];
      const width = (scale: ReturnType<typeof scaleOf>, by: See) => {
        const ground = scale.ground(new Sources());
        const [p, q] = [by(10, -0.6), by(11.3, 0.6)].map(
          ([u, v]) => ground.place({ u: exactly(u), v: exactly(v) }, 0)!,
        );
        return weightedSum([
          [1, q!.y],
          [-1, p!.y],
        ]);
      };
      const found = width(scaleOf(clips, "c"), see);
      if (Math.abs(found.value - 1.2) <= found.u95) held += 1;
      wide += width(scaleOf(clips, "a"), camera(own)).u;
      alone += width(fitScale({ kind: "ice-points", points: clips[0]!.points }, PICTURE, 1), camera(own)).u;
      all += 1;
    }
    expect(held / all).toBeGreaterThan(0.87);
    expect(wide).toBeLessThan(0.95 * alone);
  });
});
