import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { motionJson } from "../../electron/commands/motion.ts";
import { motionOf, readMotion } from "../../electron/commands/motionFile.ts";
import { MeasureError } from "../../src/errors.ts";
import { keptMotion } from "../../src/motion/keptMotion.ts";
import { blademark } from "../helpers/commandLine.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";

const picture = { width: 1280, height: 720 };
const frame = (by: number) => ({
  ...{ dxPx: by, dyPx: -by, turnDeg: 0.01 * by, scale: 1 + 1e-4 * by },
  map: [1 + 1e-4 * by, -2e-4 * by, by, 2e-4 * by, 1, -by, 1e-8 * by, 3e-8, 1],
  variance: { dxPx: 0.01, dyPx: 0.02, turnDeg: 4e-6, scale: 1e-9 },
});
const found = {
  ...{ still: false, noisePx: 0.061, first: 40, picture, warnings: [] },
  frames: [frame(0), frame(1.23456), null, frame(-2.5), frame(2), frame(-1), frame(3)],
  bumps: [],
};
type Printed = {
  width: number;
  still: boolean;
  frames: { frame: number; map: number[] | null; u_px: number | null; u_turn_px: number | null }[];
  bumps: { frame: number; dx_px: number; dy_px: number }[];
  bend?: { second: number; fourth: number; drift: number };
};
const printed = (): Printed => JSON.parse(JSON.stringify(motionJson(found)));

it("a clip's motion as `motion --json` prints it, read by `measure --motion`, is what a trial keeps of it", () => {
  const read = motionOf(JSON.stringify(motionJson(found)), picture, (rows) => rows);
  const kept = keptMotion(found, "", found.first, picture);
  expect(read).toEqual(kept);
  // A turn's doubt is its own: not that of the place.
  expect(kept.frames[1]![9]).not.toBe(kept.frames[1]![8]);
});

it("with a lens that bends the picture likewise, and without one no word of it is written", () => {
  const bend = { second: -0.06254321, fourth: -0.01196, drift: 0.0000384 };
  const bent = { ...found, bend };
  const read = motionOf(JSON.stringify(motionJson(bent)), picture, (rows) => rows);
  expect(read).toEqual(keptMotion(bent, "", found.first, picture));
  expect(read.bend).toEqual({ second: -0.0625432, fourth: -0.01196, drift: 0.0000384 });
  expect("bend" in printed()).toBe(false);
  expect("bend" in keptMotion({ ...bent, still: true }, "", 0, picture)).toBe(false);
});

/** Each breaks one thing that the contract says of a clip's motion; the sentence must name it. */
const FAULTS: readonly (readonly [string, (p: Printed) => void, RegExp])[] = [
  ["a frame is left out", (p) => p.frames.splice(3, 1), /frame 44 comes after frame 42/],
  [
    "two frames have changed places",
    (p) => p.frames.splice(4, 2, p.frames[5]!, p.frames[4]!),
    /frame 45 comes after frame 43/,
  ],
  [
    "all frames have one number",
    (p) =>
      p.frames.forEach((f) => {
        f.frame = 0;
      }),
    /frame 0 comes after frame 0/,
  ],
  ["another picture's size", (p) => (p.width = 640), /640 by 720 px moves.*1280 by 720/],
  ["it moved, but no frame says how", (p) => (p.frames = []), /only 0 of its frames say how/],
  [
    "all frames are null",
    (p) =>
      p.frames.forEach((f) => {
        f.map = null;
      }),
    /only 0 of its frames say how/,
  ],
  [
    "the order is turned round",
    (p) => {
      const maps = p.frames.map(({ map }) => map);
      p.frames.forEach((f, k) => {
        f.map = maps[maps.length - 1 - k]!;
      });
    },
    /map of frame 40 is not that of a picture which has not moved/,
  ],
  ["a map that leads nowhere", (p) => (p.frames[5]!.map = [0, 0, 0, 0, 0, 0, 0, 0]), /map of frame 45/],
  ["a map with impossible numbers", (p) => (p.frames[5]!.map = Array(8).fill(1e300)), /map of frame 45/],
  ["a picture that is mirrored", (p) => (p.frames[5]!.map = [-1, 0, 1279, 0, 1, 0, 0, 0]), /map of frame 45/],
  ["a map by columns", (p) => (p.frames[5]!.map = [1, 0, 0, 0, 1, 0, 2, -1]), /map of frame 45/],
  ["a doubt beyond all pictures", (p) => (p.frames[5]!.u_px = 1e300), /uncertainty of frame 45/],
  ["a doubt below 0", (p) => (p.frames[5]!.u_turn_px = -1), /frames\[5\]\.u_turn_px: must not be negative/],
  ["seven numbers", (p) => p.frames[1]!.map!.pop(), /frames\[1\]\.map: must be eight numbers/],
  [
    "a lens that folds the picture",
    (p) => (p.bend = { second: -0.9, fourth: 0, drift: 0 }),
    /no lens bends a picture as it says/,
  ],
  [
    "a lens of which nothing is known",
    (p) => (p.bend = { second: -0.06, fourth: 0, drift: 1e300 }),
    /no lens bends a picture as it says/,
  ],
  [
    "a knock outside",
    (p) => (p.bumps = [{ frame: 400, dx_px: 3, dy_px: 0 }]),
    /knock at frame 400.*40 to 46/,
  ],
  [
    "a knock twice",
    (p) =>
      (p.bumps = [
        { frame: 43, dx_px: 3, dy_px: 0 },
        { frame: 43, dx_px: 3, dy_px: 0 },
      ]),
    /each once/,
  ],
  [
    "a knock farther than the picture",
    (p) => (p.bumps = [{ frame: 43, dx_px: 1e300, dy_px: 0 }]),
    /jumps farther/,
  ],
];

it.each(FAULTS)("refuses a clip's motion in which %s, and says so", (_, spoil, words) => {
  const spoilt = printed();
  spoil(spoilt);
  const said = coachOf(() => motionOf(JSON.stringify(spoilt), picture, (rows) => rows));
  expect(said).toMatch(words);
  expect(said).toMatch(/Make it again from the clip that was marked\.$/);
});

it.each([
  ["", /not JSON/],
  ["[]", /the file: expected object/],
  ["[".repeat(200_000) + "]".repeat(200_000), /nested too deep/],
  ['{"format":"blademark.motion-like","version":1}', /format/],
])("names what a file that is no motion is", (text, words) => {
  expect(coachOf(() => readMotion(text, picture))).toMatch(words);
});

it("a table is held to the same", () => {
  const rows = [1, 0, 0, 0, 1, 0].join();
  const text = `frame,still,noise_px,m11,m12,m13,m21,m22,m23,m31,m32,u_px,u_turn_px\n${[0, 1, 2, 3, 4, 5]
    .map((n) => `${n},no,0.05,${rows},${n === 4 ? 1 : 0},0,0.05,0.05\n`)
    .join("")}`;
  expect(coachOf(() => motionOf(text, picture, (r) => r))).toMatch(/map of frame 4/);
});

it("the command line says so and prints no number", async () => {
  const folder = temporaryFolder();
  const file = join(folder, "motion.json");
  const spoilt = printed();
  spoilt.frames.splice(3, 1);
  writeFileSync(file, JSON.stringify(spoilt));
  writeFileSync(
    join(folder, "marks.csv"),
    "frame,time_s,point,side,x_px,y_px\n40,0.6,blade_heel,left,10,10\n",
  );
  writeFileSync(join(folder, "events.csv"), "event,side,frame\nblade_off,left,40\n");
  writeFileSync(join(folder, "ice.csv"), "label,x_px,y_px,ice_x_m,ice_y_m\nA,10,10,0,0\n");
  const at = (name: string) => join(folder, name);
  const { status, out, said } = await blademark(
    ...["measure", "--marks", at("marks.csv"), "--events", at("events.csv"), "--ice", at("ice.csv")],
    ...["--picture", "1280x720", "--motion", file, "--json"],
  );
  expect({ status, out }).toEqual({ status: 1, out: "" });
  expect(said).toMatch(/frame 44 comes after frame 42/);
});

function coachOf(work: () => unknown): string {
  try {
    work();
  } catch (error) {
    if (error instanceof MeasureError) return error.coach;
    throw error;
  }
  throw new Error("it was taken");
}
