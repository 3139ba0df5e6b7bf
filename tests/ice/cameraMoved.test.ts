import { describe, expect, it } from "vitest";
import { fitScale } from "../../src/ice/fitScale.ts";
import type { IcePoint, IceRecheck } from "../../src/study/types.ts";
import { type Pinhole, pinhole } from "../helpers/pinhole.ts";
import { normal, seeded } from "../helpers/random.ts";
import { PICTURE, points } from "./eightPoints.ts";

/*
 * A camera that stood still, and one that was bumped, filmed by a pinhole of the tests' own; whatever is claimed of it is
 * counted over many drawn sets of marks.
 */

const FROM = [29.7, -2.2, 2.8] as const;
const AIM = [15.2, 0.4] as const;
const still = pinhole(FROM, AIM, 59);
const SD = 1.5;
const PLACES = [
  [10.3, 1.6],
  [10.8, -1.9],
  [14.9, 1.8],
  [15.4, -1.5],
  [18.2, 0.1],
  [20.6, 1.7],
  [20.2, -1.6],
  [12.7, 0.3],
] as const;

/** Turned about the vertical by so many degrees, at the same place. */
function turned(degrees: number): Pinhole {
  const [dx, dy] = [AIM[0] - FROM[0], AIM[1] - FROM[1]];
  const angle = (degrees * Math.PI) / 180;
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return pinhole(FROM, [FROM[0] + c * dx - s * dy, FROM[1] + s * dx + c * dy], 59);
}

interface Case {
  readonly count: number;
  /** Indices of the points pressed again, on each of so many frames. */
  readonly again: readonly number[];
  readonly frames?: number;
  readonly after?: Pinhole;
  /** SD of the taped places, metres, which is stated. */
  readonly tape?: number;
}

function moved(seed: number, { count, again, frames = 1, after = still, tape = 0 }: Case): boolean {
  const random = seeded(seed);
  const jitter = () => SD * normal(random);
  const trueAt = PLACES.map(([x, y]) => [x + tape * normal(random), y + tape * normal(random)] as const);
  const points = PLACES.slice(0, count).map(([x, y], k): IcePoint => {
    const seen = still.see(...trueAt[k]!, 0);
    const at = { xPx: seen.xPx + jitter(), yPx: seen.yPx + jitter() };
    return { label: `P${k + 1}`, x, y, ...at, ...(tape > 0 && { u: tape }) };
  });
  const rechecks = Array.from({ length: frames }, (_, f) =>
    again.map((k): IceRecheck => {
      const seen = after.see(...trueAt[k]!, 0);
      return {
        frame: 100 * (f + 1),
        label: `P${k + 1}`,
        xPx: seen.xPx + jitter(),
        yPx: seen.yPx + jitter(),
      };
    }),
  ).flat();
  const { summary } = fitScale({ kind: "ice-points", points, rechecks }, still, SD);
  const told = summary.warnings.some((w) => w.code === "camera-moved");
  expect(summary.still!.moved).toBe(told);
  return told;
}

function share(sets: number, of: Case): number {
  let told = 0;
  for (let seed = 1; seed <= sets; seed++) if (moved(7919 * seed, of)) told++;
  return told / sets;
}

describe("a camera that stood still", () => {
  const cases: readonly (readonly [string, Case])[] = [
    ["one point", { count: 8, again: [4] }],
    ["one point of the edge, of four", { count: 4, again: [0] }],
    ["three points", { count: 8, again: [0, 3, 5] }],
    ["three points on four frames", { count: 7, again: [1, 2, 6], frames: 4 }],
    ["all of six points", { count: 6, again: [0, 1, 2, 3, 4, 5] }],
    ["three of eight roughly taped points", { count: 8, again: [0, 3, 5], tape: 0.03 }],
    ["one of eight points taped by eye", { count: 8, again: [2], tape: 0.3 }],
  ];
  it.each(cases)("is said to have moved in 2 of 100 checks or fewer: %s", (_, of) => {
    // Binomial: 2 % of 300 is 6 with SD 2.4.
    expect(share(300, of)).toBeLessThanOrEqual(13 / 300);
  });

  it("is not told apart from one that moved by less than marking is good for", () => {
    expect(share(100, { count: 8, again: [0, 3, 5], after: turned(0.01) })).toBeLessThan(0.1);
  });
});

describe("a camera that was bumped", () => {
  // 0.2° at 1697 px is 5.9 px: 5 cm at 15 m, half a foot's breadth.
  it.each([
    ["three points, 0.2°", { count: 8, again: [0, 3, 5], after: turned(0.2) }, 0.9],
    ["one point, 0.3°", { count: 8, again: [4], after: turned(0.3) }, 0.9],
    // 5.9 px, and one mark is told from chance at 5 px: about two in three.
    ["one point, 0.2°", { count: 8, again: [4], after: turned(-0.2) }, 0.5],
    ["all of six points, 0.15°", { count: 6, again: [0, 1, 2, 3, 4, 5], after: turned(0.15) }, 0.9],
  ] as const)("is found: %s", (_, of, least) => {
    expect(share(80, of)).toBeGreaterThan(least);
  });

  it("is found where it was rolled about its axis, which shifts the points apart", () => {
    const rolled: Pinhole = {
      ...still,
      see(x, y, z) {
        const { xPx, yPx } = still.see(x, y, z);
        const [dx, dy] = [xPx - 959.5, yPx - 539.5];
        const angle = (1.2 * Math.PI) / 180;
        const [c, s] = [Math.cos(angle), Math.sin(angle)];
        return { xPx: 959.5 + c * dx - s * dy, yPx: 539.5 + s * dx + c * dy };
      },
    };
    expect(share(100, { count: 8, again: [0, 1, 5, 6], after: rolled })).toBeGreaterThan(0.9);
  });

  it("is found on the frame on which it was bumped", () => {
    const random = seeded(5);
    const jitter = () => SD * normal(random);
    const see = (camera: Pinhole, k: number) => {
      const [x, y] = PLACES[k]!;
      const { xPx, yPx } = camera.see(x, y, 0);
      return { xPx: xPx + jitter(), yPx: yPx + jitter() };
    };
    const points = PLACES.map(([x, y], k) => ({ label: `P${k + 1}`, x, y, ...see(still, k) }));
    const rechecks = [60, 120, 180].flatMap((frame) =>
      [0, 3, 5].map((k) => ({ frame, label: `P${k + 1}`, ...see(frame > 130 ? turned(0.4) : still, k) })),
    );
    const { still: said, warnings } = fitScale({ kind: "ice-points", points, rechecks }, still, SD).summary;
    expect(said).toMatchObject({ points: 9, frames: 3, moved: true });
    expect(warnings[0]!.text).toContain("on frame 180");
  });

  it("says how small a shift it sees: one that large is seen in half of the checks, or more", () => {
    const points = PLACES.map(([x, y], k) => ({ label: `P${k + 1}`, x, y, ...still.see(x, y, 0) }));
    const rechecks = points.slice(4, 5).map((p) => ({ frame: 9, label: p.label, xPx: p.xPx, yPx: p.yPx }));
    const { leastPx } = fitScale({ kind: "ice-points", points, rechecks }, still, SD).summary.still!;
    // Of one new mark alone, in closed form: √(-2 ln 0.02) SD; the fit's doubt adds to it, the old mark alone would make it √2.
    const alone = SD * Math.sqrt(-2 * Math.log(0.02));
    expect(leastPx).toBeGreaterThan(alone);
    expect(leastPx).toBeLessThan(Math.SQRT2 * alone);
  });
});

describe("an ice point marked again on the last frame", () => {
  const again = (list: readonly IcePoint[], label: string, dx: number, dy: number) => {
    const p = list.find((q) => q.label === label)!;
    const rechecks = [{ frame: 240, label, xPx: p.xPx + dx, yPx: p.yPx + dy }];
    return fitScale({ kind: "ice-points", points: list, rechecks }, PICTURE, 1).summary.warnings;
  };

  it("says that the camera moved when it is more than 3 px off", () => {
    const [warning] = again(points(), "P3", 2, 3);
    expect(warning!.code).toBe("camera-moved");
    expect(warning!.text).toMatch(/frame 240 ice point P3 is 3\.6 px/); // √(2² + 3²)
  });

  it("is content with 3 px, and with a point that is no longer there", () => {
    expect(again(points(), "P3", 2, 2.2)).toEqual([]);
    const rechecks = [{ frame: 240, label: "gone", xPx: 5, yPx: 5 }];
    expect(fitScale({ kind: "ice-points", points: points(), rechecks }, PICTURE, 1).summary.warnings).toEqual(
      [],
    );
  });

  it("shows a tripod turned by a fifth of a degree", () => {
    // 0.1° at 1507 px is 2.6 px in the middle; 0.2° is over the limit anywhere.
    const aim = Math.atan2(8.5, 8) + (0.2 * Math.PI) / 180;
    const bumped = pinhole([10, -8.5, 3], [10 + 11.67 * Math.cos(aim), -8.5 + 11.67 * Math.sin(aim)], 65);
    const p = points().find((q) => q.label === "P5")!;
    const seen = bumped.see(p.x, p.y, 0);
    expect(again(points(), "P5", seen.xPx - p.xPx, seen.yPx - p.yPx)[0]!.code).toBe("camera-moved");
  });
});
