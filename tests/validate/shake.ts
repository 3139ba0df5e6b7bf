import type { MeasureInput } from "../../src/kinematics/types.ts";
import { steadied } from "../../src/motion/steadyReference.ts";
import type { ClipMotion, IcePoint, Mark } from "../../src/study/types.ts";
import { measureTables } from "./drive.ts";
import { judge } from "./judge.ts";
import { PLACEMENTS, type View } from "./placements.ts";
import { after, at, type Plane, STAYS, undone } from "./planeMaps.ts";
import { type Dice, dice } from "./random.ts";
import { sharedFilm } from "./sharedFilm.ts";
import { add, type Tally } from "./tally.ts";

/** How a clip's picture moves, and what is known of it. */
export interface Shaking {
  /** SD of where a frame lies, px each way; its turn and growth move a typical place by a quarter of that. */
  readonly shakePx: number;
  /** A hand sways: a frame lies near the one before, and wanders as far within so many frames. Absent = each frame by itself. */
  readonly swayFrames?: number;
  /** What the motion by the background tells: nothing, every frame, or all but so large a share of them. */
  readonly told: "nothing" | "all" | { readonly butShare: number };
  /** The ice points do not say on which frame they were put. */
  readonly unsaid?: boolean;
  /** A knock in the middle of what is marked, px across; the ice points are put before it, or on both sides. */
  readonly knock?: { readonly px: number; readonly points: "before" | "both" };
}

/** Following the background errs by this, px each way, as measured on warped films (docs/camera-motion.md), and says 0.05. */
const FOLLOWS_TO = 0.04;
const SAYS = 0.05;

/** Frame on which the ice points are put first, before anything else. */
const FIRST = 0;

/** Trials of still cameras whose picture shakes, marked and measured: what the intervals hold, by quantity. */
export function shake(shaking: Shaking, seed: number, skaters: number, views?: readonly View[]): Tally {
  const tally: Tally = new Map();
  PLACEMENTS.forEach((placement, at) => {
    if (placement.follows || (views && !views.includes(placement.view))) return;
    for (let who = 0; who < skaters; who++) {
      const film = sharedFilm(seed, placement, who);
      if (!film) continue;
      const said = measureTables(film, 1, 0, (input) => shaken(input, shaking, dice(seed, at, who, 77)));
      if (typeof said === "string") {
        add(tally, "refused trials", { ...REFUSED, why: said });
        continue;
      }
      for (const verdict of judge(film, said, null)) {
        add(tally, verdict.quantity, verdict);
        add(tally, `${verdict.quantity}|${placement.view}`, verdict);
      }
    }
  });
  return tally;
}

const REFUSED = {
  ...{ quantity: "trial", error: null, u95: 0, covered: false },
  ...{ atFrameError: null, bound: null, allOnIce: false },
} as const;

/** What the user has of such a clip: marks where the picture put them, and what the background says. */
export function shaken(input: MeasureInput, shaking: Shaking, d: Dice): MeasureInput {
  const { shakePx, swayFrames = 0, told, unsaid = false, knock } = shaking;
  const { picture, iceReference } = input;
  if (iceReference?.kind !== "ice-points") throw new Error("a still camera is meant");
  const marked = input.marks.map((m) => m.frame);
  const knockAt = knock ? middleOf(marked) : Number.POSITIVE_INFINITY;
  const last = Math.max(...marked) + 1;
  const reach = Math.hypot(picture.width, picture.height) / Math.sqrt(12);
  const small = shakePx / 4 / reach;
  const sways = [shakePx, shakePx, small, small].map((sd) => sway(d, sd, swayFrames, last + 1));
  const maps = Array.from({ length: last + 1 }, (_, n): Plane => {
    const [dx, dy, turn, growth] = sways.map((s) => s[n]!) as [number, number, number, number];
    return about(picture, [dx + (n >= knockAt ? knock!.px : 0), dy], turn, growth);
  });
  const isInside = (x: number, y: number) =>
    x > -0.5 && y > -0.5 && x < picture.width - 0.5 && y < picture.height - 0.5;
  const seen = <T extends { readonly xPx: number; readonly yPx: number }>(p: T, frame: number): T => {
    const [xPx, yPx] = at(maps[frame]!, [p.xPx, p.yPx]);
    return { ...p, xPx, yPx };
  };
  const marks = input.marks.map((m): Mark => seen(m, m.frame)).filter((m) => isInside(m.xPx, m.yPx));
  const put = (frame: number, name: string) =>
    iceReference.points.map((p): IcePoint => {
      // Pressed again by the same hand: the first time the table's own error is in it.
      const again = name === "" ? p : { ...p, xPx: p.xPx + d.normal(1), yPx: p.yPx + d.normal(1) };
      const { xPx, yPx } = seen(again, frame);
      return { ...again, xPx, yPx, label: p.label + name, ...(!unsaid && { frame }) };
    });
  const points = [...put(FIRST, ""), ...(knock?.points === "both" ? put(last, " again") : [])];
  const reference = { ...iceReference, points: points.filter((p) => isInside(p.xPx, p.yPx)) };
  if (told === "nothing") return { ...input, marks, iceReference: reference };
  const unknown = told === "all" ? 0 : told.butShare;
  const toFirst = undone(maps[0]!);
  const motion: ClipMotion = {
    clip: "c",
    still: false,
    noisePx: SAYS,
    first: 0,
    frames: maps.map((map, n) => {
      const error = about(picture, [d.normal(FOLLOWS_TO), d.normal(FOLLOWS_TO)], 0, 0);
      if (d.chance(unknown) && n !== FIRST && n !== last) return null;
      return [...after(n === 0 ? STAYS : error, after(map, toFirst)).slice(0, 8), SAYS, 0.02];
    }),
    bumps: knock ? [{ frame: knockAt, dxPx: knock.px, dyPx: 0 }] : [],
  };
  const found = steadied(motion, reference, picture, 1)!;
  return { ...input, marks, iceReference: found.reference, steady: found.steady };
}

/** A course about 0: of each frame by itself, or a walk that forgets where it was within so many frames, smoothed once. */
function sway(d: Dice, sd: number, frames: number, length: number): readonly number[] {
  if (frames === 0) return Array.from({ length }, () => d.normal(sd));
  const kept = Math.exp(-1 / frames);
  const filtered = (course: readonly number[]) => {
    let at = course[0]!;
    return course.map((v) => {
      at = kept * at + (1 - kept) * v;
      return at;
    });
  };
  // Begun long before the clip, so that its first frames sway as well.
  const course = filtered(filtered(Array.from({ length: length + 20 * frames }, () => d.normal(1)))).slice(
    20 * frames,
  );
  // Of white noise through this filter twice, by the sum of squares of (n + 1) kept^n (1 - kept)^2.
  const variance = ((1 - kept) * (1 + kept * kept)) / (1 + kept) ** 3;
  return course.map((v) => (sd * v) / Math.sqrt(variance));
}

/** Moved, turned and grown about the picture's middle. */
function about(
  { width, height }: { readonly width: number; readonly height: number },
  [dx, dy]: readonly [number, number],
  turn: number,
  growth: number,
): Plane {
  const [cx, cy] = [(width - 1) / 2, (height - 1) / 2];
  const [c, s] = [(1 + growth) * Math.cos(turn), (1 + growth) * Math.sin(turn)];
  return [c, -s, cx + dx - c * cx + s * cy, s, c, cy + dy - s * cx - c * cy, 0, 0, 1];
}

function middleOf(frames: readonly number[]): number {
  return Math.round((Math.min(...frames) + Math.max(...frames)) / 2);
}
