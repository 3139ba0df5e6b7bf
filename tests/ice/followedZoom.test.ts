import { expect, it } from "vitest";
import { chooseModel, misfitOf } from "../../src/ice/moving/chooseModel.ts";
import { Effort, pointsIn, SEARCH_EFFORT } from "../../src/ice/moving/effort.ts";
import type { FramePoints } from "../../src/study/types.ts";

/*
 * Ice points of a camera behind the start that zooms in and pans after a skater, simulated by a program of its own (NumPy; k1 = -0.071,
 * places taped to 5 mm, marks to 1 px): label, x and y in px, then on the ice in m, then how fast the background moves there, px from
 * frame to frame. Truth: the focal lengths it was simulated with; all points lie within 3 px of where that camera sees them.
 */
const FILMED: readonly {
  readonly frame: number;
  readonly focalPx: number;
  readonly seen: readonly (readonly [string, number, number, number, number, number, number])[];
}[] = [
  {
    frame: 27,
    focalPx: 1847,
    seen: [
      ["P4", 1455.89, 1001.29, 2.9984, -1.8059, 0.268, 2.994],
      ["P28", 1136.1, 415.11, 21.0034, -1.8022, -0.138, 2.424],
      ["P54", 1089.01, 330.3, 40.5031, -1.7994, -0.18, 2.374],
      ["P78", 1072.46, 302.55, 58.5011, -1.8023, -0.194, 2.359],
      ["P5", 305.03, 965.58, 2.9978, 1.8064, -0.988, 2.988],
      ["P29", 852.64, 409.48, 20.9993, 1.8024, -0.346, 2.419],
      ["P55", 934.08, 328.85, 40.5036, 1.7998, -0.285, 2.371],
      ["P79", 962.22, 300.84, 58.5025, 1.7946, -0.267, 2.357],
    ],
  },
  {
    frame: 97,
    focalPx: 1948,
    seen: [
      ["P6", 1365.45, 979.66, 4.4946, -1.8046, -0.257, 1.749],
      ["P30", 1106.71, 517.81, 22.4976, -1.8097, -0.491, 1.38],
      ["P54", 1064.24, 439.29, 40.5031, -1.7994, -0.524, 1.328],
      ["P78", 1046.12, 410.89, 58.5011, -1.8023, -0.538, 1.309],
      ["P7", 384.2, 958.3, 4.5023, 1.8081, -1.121, 1.79],
      ["P31", 826.61, 512.75, 22.5039, 1.7987, -0.692, 1.379],
      ["P55", 899.61, 437.15, 40.5036, 1.7998, -0.638, 1.326],
      ["P79", 932.33, 407.72, 58.5025, 1.7946, -0.616, 1.307],
    ],
  },
  {
    frame: 167,
    focalPx: 2049,
    seen: [
      ["P6", 1362.67, 1071.92, 4.4946, -1.8046, 0.252, 0.906],
      ["P30", 1087.31, 583.55, 22.4976, -1.8097, 0.035, 0.551],
      ["P54", 1046.13, 502.78, 40.5031, -1.7994, 0.004, 0.497],
      ["P78", 1026.4, 470.64, 58.5011, -1.8023, -0.01, 0.476],
      ["P7", 323.45, 1050.55, 4.5023, 1.8081, -0.52, 0.916],
      ["P31", 794.25, 576.54, 22.5039, 1.7987, -0.167, 0.552],
      ["P55", 872.92, 499.59, 40.5036, 1.7998, -0.114, 0.498],
      ["P79", 902.9, 468.35, 58.5025, 1.7946, -0.093, 0.476],
    ],
  },
];
const PICTURE = { width: 1920, height: 1080 };
const FRAMES: readonly FramePoints[] = FILMED.map(({ frame, seen }) => ({
  frame,
  points: seen.map(([label, xPx, yPx, x, y]) => ({ label, xPx, yPx, x, y, u: 0.005 })),
}));

/** What a shutter of all the time between frames does to a point, px. */
function slant(frame: number, { xPx, yPx }: { readonly xPx: number; readonly yPx: number }) {
  const { seen } = FILMED.find((f) => f.frame === frame)!;
  const [, , , , , right, down] = seen.find(([, x, y]) => x === xPx && y === yPx)!;
  const share = (yPx - (PICTURE.height - 1) / 2) / PICTURE.height;
  return [share * right, share * down] as const;
}

it.each([
  ["not looked at", {}],
  ["followed", { slant }],
])(
  "finds a zoom whose background is %s and blames no ice point, though one focal length was looked for in vain",
  (_, more) => {
    const marked = { frames: FRAMES, picture: PICTURE, markSdPx: 1, ...more };
    // Whatever is allowed, from what the zoom alone takes (some 1300 a point, counted once) upward.
    for (const perPoint of [1500, 2000, 2500, SEARCH_EFFORT]) {
      const fit = chooseModel(marked, null, null, new Effort(perPoint * pointsIn(FRAMES)));
      expect([perPoint, fit.model.zooms]).toEqual([perPoint, true]);
      expect(misfitOf(fit)).toBeLessThan(1.4);
      fit.cameras.forEach(({ focalPx }, k) => {
        expect(Math.abs(focalPx / FILMED[k]!.focalPx - 1)).toBeLessThan(0.015);
      });
    }
  },
);
