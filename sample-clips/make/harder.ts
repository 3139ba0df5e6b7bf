/**
 * Clips that suggested marks are tried on and were not made for: other people, clothes and light, blur, noise, compression,
 * somebody else on the ice, places of the camera that are refused, limbs that do not keep time with the contact. None is
 * committed: `npm run validate -- --suggest` renders them into a temporary folder.
 */
import type { Camera } from "./camera.ts";
import type { ClipSpec, Footage, Person, RunSpec } from "./people.ts";
import { BENCH_CAMERA, BENCH_MARKS, facingCamera, LANE_MARKS } from "./world.ts";

const person = (
  name: string,
  [stature, hipHeight, width, rate]: readonly [number, number, number, number],
  [jacket, stripe, tights, helmet, gloves]: readonly [string, string, string, string, string],
  firstPush: 1 | -1,
): Person => ({
  ...{ id: name.toLowerCase(), name, code: name[0]!, stature, hipHeight, width, rate, firstPush },
  ...{ asymmetry: 0.02 * firstPush, topSpeed: 5.2 + 1.05 * rate, closeTime: 4.7, openGain: 0.1 },
  ...{ jacket, stripe, tights, helmet, gloves },
});

const DARK = person(
  "Runa",
  [1.6, 0.72, 0.98, 3.2],
  ["#14161a", "#20242a", "#101215", "#17191d", "#14161a"],
  1,
);
const PALE = person(
  "Ida",
  [1.83, 0.84, 1.22, 2.8],
  ["#e8edf0", "#d5dde2", "#c9d2d8", "#f2f3f1", "#ffffff"],
  -1,
);
const SMALL = person(
  "Juni",
  [1.44, 0.65, 0.86, 3.35],
  ["#2c8f4a", "#f0e442", "#26324a", "#d94f3a", "#101010"],
  1,
);
const STRIPED = person(
  "Elin",
  [1.7, 0.78, 1.1, 3.0],
  ["#c7b21c", "#141414", "#7a1f4b", "#e0e0e0", "#2040a0"],
  -1,
);
const TALL = person(
  "Saga",
  [1.9, 0.87, 1.3, 2.7],
  ["#3b4a6b", "#c0392b", "#3b4a6b", "#c0392b", "#e8e8e8"],
  1,
);

/** From low behind the end, a little aside. */
const LOW: Camera = {
  ...{ place: [46, -1.6, 1.5], aim: [19, 0, 0.35], hfovDeg: 18, width: 1280, height: 720 },
};
/** Nearer, with a wider lens and fewer pixels. */
const NEAR: Camera = {
  ...{ place: [39, 0.9, 2.4], aim: [21, 0, 0.3], hfovDeg: 29, width: 960, height: 540 },
};
const BEHIND: Camera = {
  ...{ place: [-9, 0.7, 2.8], aim: [13, 0, 0.2], hfovDeg: 21, width: 1280, height: 720 },
};
/** Aimed so high that the skates leave the picture as the skater comes near. */
const HIGH: Camera = {
  ...{ place: [41, 1.2, 2.6], aim: [22, 0.2, 1.35], hfovDeg: 15, width: 1280, height: 720 },
};

const run = (name: string, who: Person, touchdown: number, limbScatter = 0): RunSpec => ({
  ...{ name, person: who, technique: touchdown > 0.2 ? "open" : "close", repeat: 1, touchdown },
  gateTime: who.closeTime,
  ...(limbScatter > 0 ? { limbScatter } : {}),
});

const noise = (sd: number) => `noise=all_seed=7:alls=${Math.round(2 * sd)}:allf=t`;
const lit = (gain: number) => `lutrgb=r=val*${gain}:g=val*${gain}:b=val*${gain}`;
/** Fewer pictures a frame than the demo's have: they are many, and thrown away. */
const FEW = 4;
const footage = (crf: number, ...filters: string[]): Footage => ({ filters, crf, openings: FEW });
const PLAIN = footage(23);

type More = Partial<ClipSpec>;

function world(name: string, of: RunSpec, camera: Camera, more: More = {}): ClipSpec {
  return {
    ...{ name, run: of, camera, marks: LANE_MARKS, fps: 60, claimedFps: 60, shutter: 1 / 320 },
    ...{ only: [6.5, 28.5] as const, footage: PLAIN, ...more },
  };
}

/** A tenth of a second before the shutter closes is a frame: 1/60 s open smears a blade over 5 to 13 cm. */
const OPEN_ALL_FRAME = 1 / 62;

export const HARDER: readonly ClipSpec[] = [
  world("all in black", run("harder black", DARK, 0.05), facingCamera(1.5)),
  world("pale on pale ice, low camera", run("harder pale", PALE, 0.05), LOW),
  world("a child, small in the picture", run("harder child", SMALL, 0.04), facingCamera(-3)),
  world("striped, near, 960 x 540", run("harder striped", STRIPED, 0.25), NEAR),
  world("smeared by an open shutter", run("harder smeared", TALL, 0.06), facingCamera(-3), {
    shutter: OPEN_ALL_FRAME,
    footage: { filters: [], crf: 23, openings: 8 },
  }),
  world("noise of 12 grey levels", run("harder noise", STRIPED, 0.05), LOW, {
    footage: footage(26, noise(12)),
  }),
  world("out of focus by 1.6 px", run("harder focus", DARK, 0.26), facingCamera(1.5), {
    footage: footage(23, "gblur=sigma=1.6"),
  }),
  world("compressed hard", run("harder packed", TALL, 0.04), LOW, { footage: footage(38) }),
  world("a dark hall", run("harder dark", STRIPED, 0.05), facingCamera(-3), {
    shutter: 1 / 100,
    footage: footage(26, lit(0.28), noise(6)),
  }),
  world("too bright", run("harder bright", SMALL, 0.24), NEAR, {
    footage: footage(26, lit(1.7)),
  }),
  world("two skaters", run("harder two", TALL, 0.05), facingCamera(1.5), {
    other: { run: run("harder other", DARK, 0.06), aside: -1.5, ahead: -3 },
  }),
  world("skates leave the picture", run("harder cut", STRIPED, 0.05), HIGH),
  world("behind", run("harder behind", TALL, 0.05), BEHIND, { only: [2, 19] }),
  world("behind, black, blurred and noisy", run("harder behind black", DARK, 0.25), BEHIND, {
    ...{ only: [2, 19] as const, shutter: 1 / 120 },
    footage: footage(28, "gblur=sigma=0.9", noise(8)),
  }),
  world("bench", run("harder bench", PALE, 0.05), BENCH_CAMERA, {
    marks: [...LANE_MARKS.filter((m) => m.x > 11 && m.x < 25), ...BENCH_MARKS],
    only: [8.6, 27.4],
  }),
  world("limbs off by 20 ms, front", run("harder off front", STRIPED, 0.05, 0.02), LOW),
  world("limbs off by 20 ms, behind", run("harder off behind", SMALL, 0.05, 0.02), BEHIND, {
    only: [2, 19],
  }),
];

const offBeat = (n: number, who: Person, touchdown: number, camera: Camera): ClipSpec =>
  world(
    `limbs off by 20 ms, ${n}${camera === BEHIND ? ", behind" : ""}`,
    run(`off beat ${n}`, who, touchdown, 0.02),
    camera,
    camera === BEHIND ? { only: [2, 19] } : {},
  );

/** More clips whose limbs do not keep time with the contact: one or two tell too little about 85 in 100. */
export const OFF_BEAT: readonly ClipSpec[] = [
  offBeat(1, PALE, 0.05, facingCamera(-3)),
  offBeat(2, TALL, 0.05, BEHIND),
  offBeat(3, SMALL, 0.24, LOW),
  offBeat(4, STRIPED, 0.25, BEHIND),
  offBeat(5, TALL, 0.25, facingCamera(1.5)),
  offBeat(6, PALE, 0.05, BEHIND),
  offBeat(7, STRIPED, 0.05, NEAR),
  offBeat(8, SMALL, 0.05, BEHIND),
];
