import { mean } from "../statistics/mean.ts";
import type { PointName, Side } from "../study/types.ts";
import { type Body, midHip, nearestBodyPoint, SEEN_FROM, seen } from "./body.ts";
import { ownSd } from "./ownSd.ts";
import type { Refusal, Scene, SuggestedPoint } from "./scene.ts";
import type { SuggestedEvent } from "./suggestedEvents.ts";
import { FEWEST_LESSONS } from "./suggestedEvents.ts";
import { isByHand, type Lessons, markOf, SIDES } from "./taught.ts";
import { trunkOf } from "./trunk.ts";

const JOINTS: readonly PointName[] = ["hip", "shoulder", "elbow", "wrist"];

/** SD before this clip has told its own, as a share of the body's size: 3 % of stature. [an estimate from still photographs: docs/suggested-marks.md] */
const UNTOLD_SD = 0.1;
/** Nobody's mark and no model is better, px. [judgement] */
const LEAST_SD_PX = 0.5;
/** Hips this far apart, as a share of the body's size, tell left from right. */
const TELLING = 0.12;

/** What a person's mark was from the model's point, as multiples of the body's size. */
interface Offset {
  readonly dx: number;
  readonly dy: number;
  readonly frame: number;
  /** What the person put says how suggestions miss; what they took over says only what was suggested. */
  readonly byHand: boolean;
}

/**
 * Joints on the frames wanted: the model's points moved by what confirmed marks of the same event, side and point differ from
 * them. The model puts a hip where a hip is, a person where they agreed to mark it. Hips go by the trunk, whichever hip the
 * model takes for which.
 */
export async function suggestedBody(
  scene: Scene,
  wanted: readonly SuggestedEvent[],
): Promise<{ points: SuggestedPoint[]; refused: Refusal[] }> {
  const { lessons, eyes, whole, sizes } = scene;
  const points: SuggestedPoint[] = [];
  const refused: Refusal[] = [];
  const close = closeLook(eyes, whole);
  const differences: number[] = [];
  let freedom = 0;
  const learned = new Map<string, { offsets: Offset[]; point: PointName; side: Side }[]>();
  for (const lesson of lessons) {
    const known = await offsetsOf(scene, lesson, close);
    learned.set(keyOf(lesson), known);
    for (const { offsets, point } of known) {
      const own = offsets.filter((o) => o.byHand);
      if (own.length < 2) continue;
      differences.push(...leftOut(own));
      // Both hips hang on one place of the trunk and miss together.
      freedom += (point === "hip" ? 1 : 2) * (own.length - 1);
    }
  }
  const share = ownSd(differences, freedom) ?? UNTOLD_SD;
  for (const { event, side, frame } of wanted) {
    const known = learned.get(keyOf({ event, side }))!;
    const done = lessons
      .find((l) => l.event === event && l.side === side)
      ?.all.find((l) => l.frame === frame);
    // What is marked already is neither suggested nor refused.
    if (known.every(({ point, side: of }) => done && markOf(done, point, of))) continue;
    const body = await close(frame);
    if (!body) {
      refused.push({
        what: "body",
        side,
        frame,
        why: "The skater is not found here, or is partly outside the picture.",
      });
      continue;
    }
    const lesson = lessons.find((l) => l.event === event && l.side === side)!;
    const isTold = ({ point }: { readonly point: PointName }) => point === "hip";
    const turned = !known.every(isTold) && (await isTurned(body, lesson, close, sizes));
    if (turned) {
      refused.push({
        what: "body",
        side,
        frame,
        why: "Left and right look exchanged against the strides you marked. Look here first.",
      });
    }
    const size = sizes(frame);
    for (const { offsets, point, side: of } of turned ? known.filter(isTold) : known) {
      const p = placeOf(scene, body, point, of);
      if (p.score < SEEN_FROM) continue;
      points.push({
        frame,
        point,
        side: of,
        xPx: p.x + mean(offsets.map((o) => o.dx)) * size,
        yPx: p.y + mean(offsets.map((o) => o.dy)) * size,
        uPx: Math.max(LEAST_SD_PX, share * size),
        from: "pose",
        templates: offsets.map((o) => o.frame),
      });
    }
  }
  return { points, refused };
}

const keyOf = ({ event, side }: Pick<SuggestedEvent, "event" | "side">) => `${event} ${side}`;

/** The better model's body in a frame, once; null where there is none to look at. */
export function closeLook(
  eyes: Scene["eyes"],
  whole: Scene["whole"],
): (frame: number) => Promise<Body | null> {
  const known = new Map<number, Promise<Body | null>>();
  return (frame) => {
    const before = known.get(frame);
    if (before) return before;
    const rough = whole[frame];
    const now = rough ? eyes.closely(frame, rough.square) : Promise.resolve(null);
    known.set(frame, now);
    return now;
  };
}

async function offsetsOf(
  scene: Scene,
  { all }: Lessons,
  close: (frame: number) => Promise<Body | null>,
): Promise<{ offsets: Offset[]; point: PointName; side: Side }[]> {
  const found: { offsets: Offset[]; point: PointName; side: Side }[] = [];
  for (const point of JOINTS) {
    for (const side of SIDES) {
      const offsets: Offset[] = [];
      for (const lesson of all) {
        const mark = markOf(lesson, point, side);
        const body = mark && (await close(lesson.frame));
        if (!mark || !body) continue;
        const p = placeOf(scene, body, point, side);
        const size = scene.sizes(lesson.frame);
        offsets.push({
          dx: (mark.xPx - p.x) / size,
          dy: (mark.yPx - p.y) / size,
          frame: lesson.frame,
          byHand: isByHand(mark),
        });
      }
      if (offsets.length >= FEWEST_LESSONS) found.push({ offsets, point, side });
    }
  }
  return found;
}

function placeOf({ whole, realInterval }: Scene, body: Body, point: PointName, side: Side) {
  if (point !== "hip") return seen(body, nearestBodyPoint(point, side));
  const score = Math.max(seen(body, "left_hip").score, seen(body, "right_hip").score);
  return { ...trunkOf(body, whole, realInterval), score };
}

/** Each offset against the mean of the others: what a suggestion here would have missed by. */
function leftOut(offsets: readonly Offset[]): number[] {
  const n = offsets.length;
  return (["dx", "dy"] as const).flatMap((c) => {
    const sum = offsets.reduce((s, o) => s + o[c], 0);
    return offsets.map((o) => o[c] - (sum - o[c]) / (n - 1));
  });
}

/** Whether the hips lie the other way round than in every confirmed frame of this event. */
async function isTurned(
  body: Body,
  { all }: Lessons,
  close: (frame: number) => Promise<Body | null>,
  sizes: Scene["sizes"],
): Promise<boolean> {
  const now = hipsAcross(body, sizes(body.frame));
  if (Math.abs(now) < TELLING) return false;
  let votes = 0;
  for (const { frame, marks } of all) {
    // A frame picked without marks on it is asked for like any other.
    if (frame === body.frame || marks.length === 0) continue;
    const known = await close(frame);
    const then = known ? hipsAcross(known, sizes(frame)) : 0;
    if (Math.abs(then) < TELLING) continue;
    if (Math.sign(then) === Math.sign(now)) return false;
    votes++;
  }
  return votes > 0;
}

function hipsAcross(body: Body, size: number): number {
  return (seen(body, "left_hip").x - midHip(body).x) / size;
}
