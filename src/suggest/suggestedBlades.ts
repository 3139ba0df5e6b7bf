import { mean } from "../statistics/mean.ts";
import type { Side } from "../study/types.ts";
import { AGREE_WITHIN, type FoundBlade, findBlade, type KnownBlade, VOTES } from "./blades.ts";
import { type Body, midHip, seen } from "./body.ts";
import { ownSd } from "./ownSd.ts";
import { greyPart } from "./pixels.ts";
import type { Eyes, Refusal, Scene, SuggestedPoint } from "./scene.ts";
import { closeLook } from "./suggestedBody.ts";
import { FEWEST_LESSONS, type SuggestedEvent } from "./suggestedEvents.ts";
import { bladeOf, isByHand, type Lessons, SIDES } from "./taught.ts";

/** SD before this clip has told its own, px. [measured on renders 1.3, expected two to three times that: docs/suggested-marks.md] */
const UNTOLD_SD_PX = 3;
const LEAST_SD_PX = 0.5;
/** What is kept of the picture about a known blade and looked at about an expected one, as multiples of the body's size. */
const KEPT = 1;
/** A body that moves across the picture by more than this many of its sizes from one stride of a side to the next is filmed from beside. */
export const BESIDE = 4;

/** A blade more than so many times smaller or larger than the nearest confirmed one is left until those between are. [measured on renders: beyond it one in seven was over 3 px off] */
const FARTHEST = 1.6;

interface Taught {
  readonly blade: Omit<KnownBlade, "picture">;
  /** From the model's ankle to the middle of the blade, as multiples of the body's size. */
  readonly dx: number;
  readonly dy: number;
  readonly byHand: boolean;
}

/**
 * Blade ends on the frames wanted, found again by how the same blade looked at the same event in the strides confirmed
 * nearest to it.
 */
export async function suggestedBlades(
  scene: Scene,
  wanted: readonly SuggestedEvent[],
): Promise<{ points: SuggestedPoint[]; refused: Refusal[] }> {
  const { lessons, whole, sizes, eyes } = scene;
  const close = closeLook(eyes, whole);
  if (lessons.some(({ all }) => isBeside(all, whole, sizes)))
    return {
      points: [],
      refused: [
        {
          what: "blades",
          why: "Filmed from beside the lane a blade looks too unlike itself in other strides. Mark blades by hand here.",
        },
      ],
    };
  const points: SuggestedPoint[] = [];
  const refused: Refusal[] = [];
  for (const lesson of lessons) {
    for (const blade of SIDES) {
      const taught = await taughtBlades(scene, lesson, blade, close);
      if (taught.length < FEWEST_LESSONS) continue;
      const sd = await taughtSd(scene, taught, blade, close);
      for (const { frame } of wanted.filter((w) => w.event === lesson.event && w.side === lesson.side)) {
        if (taught.some((t) => t.blade.frame === frame)) continue;
        if (whole[frame] && !isNearEnough(taught, frame, sizes)) {
          refused.push({
            what: "blades",
            side: blade,
            frame,
            why: "The skater is too small or large here against the strides you marked. Take those between first.",
          });
          continue;
        }
        if (await hasLegsExchanged(scene, lesson, frame, close)) {
          refused.push({
            what: "blades",
            side: blade,
            frame,
            why: "The left and right leg look exchanged here against the strides you marked. Mark this blade by hand.",
          });
          continue;
        }
        const found = await lookFor(scene, taught, frame, blade, close);
        if (!found || found.spread > AGREE_WITHIN) {
          refused.push({
            what: "blades",
            side: blade,
            frame,
            why: found
              ? "The strides you marked do not agree on where this blade is."
              : "This blade was not found again.",
          });
          continue;
        }
        const at = { frame, side: blade, uPx: sd, from: "template" as const, templates: found.by };
        points.push(
          { ...at, point: "blade_heel", xPx: found.heel.x, yPx: found.heel.y },
          { ...at, point: "blade_toe", xPx: found.toe.x, yPx: found.toe.y },
        );
      }
    }
  }
  return { points, refused };
}

/** Ankles so far apart across the picture, as a share of the body's size, tell left from right. */
const TELLING = 0.12;

/** Whether the two models, or the strides confirmed, have the ankles of this frame the other way round. */
async function hasLegsExchanged(
  { whole, sizes }: Scene,
  { all }: Lessons,
  frame: number,
  close: Close,
): Promise<boolean> {
  const [now, rough] = [await close(frame), whole[frame]];
  if (!now || !rough) return false;
  const across = anklesAcross(now, sizes(frame));
  const apart = (a: Body, b: Body, other: (side: Side) => Side) =>
    SIDES.reduce((sum, side) => {
      const [p, q] = [seen(a, `${side}_ankle`), seen(b, `${other(side)}_ankle`)];
      return sum + Math.hypot(p.x - q.x, p.y - q.y);
    }, 0);
  const straight = apart(now, rough, (side) => side);
  if (apart(now, rough, (side) => (side === "left" ? "right" : "left")) < straight) return true;
  if (Math.abs(across) < TELLING) return false;
  const known = await Promise.all(
    all.filter((l) => l.frame !== frame && l.marks.length > 0).map((l) => close(l.frame)),
  );
  const telling = known
    .flatMap((body) => (body ? [anklesAcross(body, sizes(body.frame))] : []))
    .filter((then) => Math.abs(then) >= TELLING);
  return telling.length > 0 && telling.every((then) => Math.sign(then) !== Math.sign(across));
}

function anklesAcross(body: Body, size: number): number {
  return (seen(body, "left_ankle").x - seen(body, "right_ankle").x) / size;
}

type Close = (frame: number) => Promise<Body | null>;

async function taughtBlades({ sizes }: Scene, { all }: Lessons, side: Side, close: Close): Promise<Taught[]> {
  const taught: Taught[] = [];
  for (const lesson of all) {
    const marked = bladeOf(lesson, side);
    const body = marked && (await close(lesson.frame));
    if (!marked || !body) continue;
    const size = sizes(lesson.frame);
    const heel = { x: marked.heel.xPx, y: marked.heel.yPx };
    const toe = { x: marked.toe.xPx, y: marked.toe.yPx };
    const centre = middleOf({ heel, toe });
    const ankle = seen(body, `${side}_ankle`);
    taught.push({
      blade: { frame: lesson.frame, heel, toe, size },
      dx: (centre.x - ankle.x) / size,
      dy: (centre.y - ankle.y) / size,
      byHand: isByHand(marked.heel) && isByHand(marked.toe),
    });
  }
  return taught;
}

async function lookFor(
  { eyes, sizes }: Scene,
  taught: readonly Taught[],
  frame: number,
  side: Side,
  close: Close,
): Promise<FoundBlade | null> {
  const body = await close(frame);
  if (!body) return null;
  const size = sizes(frame);
  const nearest = [...taught]
    .sort((a, b) => Math.abs(a.blade.frame - frame) - Math.abs(b.blade.frame - frame))
    .slice(0, VOTES);
  const ankle = seen(body, `${side}_ankle`);
  const expected = {
    x: ankle.x + mean(nearest.map((t) => t.dx)) * size,
    y: ankle.y + mean(nearest.map((t) => t.dy)) * size,
  };
  const by = nearest.map((t) => t.blade);
  const key = JSON.stringify([frame, size, expected, by]);
  const before = eyes.blades?.get(key);
  if (before !== undefined) return before;
  const picture = about(await eyes.picture(frame), expected, KEPT * size);
  const found = picture && findBlade(picture, await withPictures(eyes, by), expected, size);
  eyes.blades?.set(key, found);
  return found;
}

async function withPictures(eyes: Eyes, blades: readonly Taught["blade"][]): Promise<KnownBlade[]> {
  const known: KnownBlade[] = [];
  for (const blade of blades) {
    const picture = about(await eyes.picture(blade.frame), middleOf(blade), KEPT * blade.size);
    if (picture) known.push({ ...blade, picture });
  }
  return known;
}

function middleOf({ heel, toe }: Pick<KnownBlade, "heel" | "toe">) {
  return { x: (heel.x + toe.x) / 2, y: (heel.y + toe.y) / 2 };
}

function about(picture: Parameters<typeof greyPart>[0], { x, y }: { x: number; y: number }, reach: number) {
  return greyPart(picture, { x: x - reach, y: y - reach }, { x: x + reach, y: y + reach });
}

/** SD of a blade end, px: what suggestions would have missed the confirmed blades by, each looked for by the others. */
async function taughtSd(scene: Scene, taught: readonly Taught[], side: Side, close: Close): Promise<number> {
  const off = await misses(scene, taught, side, close);
  // The ends of one blade are found together: a blade counts as one place, both coordinates, less the templates' own.
  return Math.max(LEAST_SD_PX, ownSd(off, off.length / 2 - 2) ?? UNTOLD_SD_PX);
}

/** Each confirmed blade looked for by the others, px, where it would have been suggested. */
async function misses(scene: Scene, taught: readonly Taught[], side: Side, close: Close): Promise<number[]> {
  const all: number[] = [];
  for (const { blade, byHand } of taught) {
    // One taken over lies where these very strides put it: it tells nothing of how they miss.
    if (!byHand) continue;
    const others = taught.filter((t) => t.blade.frame !== blade.frame);
    if (others.length < 2) continue;
    const found = await lookFor(scene, others, blade.frame, side, close);
    if (!found || found.spread > AGREE_WITHIN) continue;
    all.push(
      found.heel.x - blade.heel.x,
      found.heel.y - blade.heel.y,
      found.toe.x - blade.toe.x,
      found.toe.y - blade.toe.y,
    );
  }
  return all;
}

function isNearEnough(taught: readonly Taught[], frame: number, sizes: Scene["sizes"]): boolean {
  return taught.some(({ blade }) => Math.abs(Math.log(sizes(frame) / blade.size)) < Math.log(FARTHEST));
}

function isBeside(all: Lessons["all"], whole: Scene["whole"], sizes: Scene["sizes"]): boolean {
  return all.slice(1).some((lesson, i) => {
    const [a, b] = [whole[all[i]!.frame], whole[lesson.frame]];
    if (!a || !b) return false;
    const [from, to] = [midHip(a), midHip(b)];
    return Math.hypot(to.x - from.x, to.y - from.y) > (BESIDE * (sizes(a.frame) + sizes(b.frame))) / 2;
  });
}
