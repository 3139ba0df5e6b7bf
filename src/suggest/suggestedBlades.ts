import { mean } from "../statistics/mean.ts";
import type { Side } from "../study/types.ts";
import { type KnownBlade, middleOf } from "./bladeForm.ts";
import { AGREE_WITHIN, type FoundBlade, findBlade, VOTES } from "./blades.ts";
import { type Body, midHip } from "./body.ts";
import { ownSd } from "./ownSd.ts";
import { greyPart } from "./pixels.ts";
import type { Eyes, Refusal, Scene, SuggestedPoint } from "./scene.ts";
import { closeLook } from "./suggestedBody.ts";
import { FEWEST_LESSONS, type SuggestedEvent } from "./suggestedEvents.ts";
import { bladeOf, isByHand, type Lessons, SIDES } from "./taught.ts";

/** SD before this clip has told its own, px. [measured on renders 0.9, expected two to three times that: docs/suggested-marks.md] */
const UNTOLD_SD_PX = 2.3;
const LEAST_SD_PX = 0.5;
/** What is kept of the picture about a known blade and looked at about an expected one, as multiples of the body's size. */
const KEPT = 1;
/** A body that moves across the picture by more than this many of its sizes from one stride of a side to the next is filmed from beside. */
export const BESIDE = 4;

/** A blade more than so many times smaller or larger than the nearest confirmed one is left until those between are. [measured on renders: beyond it one in seven was over 3 px off] */
const FARTHEST = 1.6;

interface Taught {
  readonly blade: Omit<KnownBlade, "picture">;
  /**
   * From mid-hip to the middle of the blade, as multiples of the body's size. Not from the ankle: in dark clothes and where it
   * is out of focus the model takes one leg for the other.
   */
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
      const landing = isOnIce(lesson, blade) ? null : await landings(scene, lesson, blade, close);
      const sd = await taughtSd(scene, taught, landing, close);
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
        const found = await lookFor(scene, taught, frame, landing, close);
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

/** At a contact its own blade is on the ice, and while one recovers the other. */
function isOnIce({ event, side }: Lessons, blade: Side): boolean {
  return event === "blade_off" || event === "blade_on" || (event === "recovery_min" && blade !== side);
}

/** Of a blade in the air: how it looked when it came down, which is soon after; null of one on the ice. */
type Landings = readonly Taught[] | null;

async function landings(scene: Scene, { side }: Lessons, blade: Side, close: Close): Promise<Taught[]> {
  const lesson = scene.lessons.find((l) => l.event === "blade_on" && l.side === side);
  return lesson && blade === side ? taughtBlades(scene, lesson, blade, close) : [];
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
    const hip = midHip(body);
    taught.push({
      blade: { frame: lesson.frame, heel, toe, size },
      dx: (centre.x - hip.x) / size,
      dy: (centre.y - hip.y) / size,
      byHand: isByHand(marked.heel) && isByHand(marked.toe),
    });
  }
  return taught;
}

async function lookFor(
  { eyes, sizes }: Scene,
  taught: readonly Taught[],
  frame: number,
  landing: Landings,
  close: Close,
): Promise<FoundBlade | null> {
  const body = await close(frame);
  if (!body) return null;
  const size = sizes(frame);
  const nearest = nearestOf(taught, frame);
  const hip = midHip(body);
  const expected = {
    x: hip.x + mean(nearest.map((t) => t.dx)) * size,
    y: hip.y + mean(nearest.map((t) => t.dy)) * size,
  };
  const by = [...nearest, ...nearestOf(landing ?? [], frame)].map((t) => t.blade);
  const onIce = landing === null;
  const key = JSON.stringify([frame, size, expected, by, onIce]);
  const before = eyes.blades?.get(key);
  if (before !== undefined) return before;
  const picture = about(await eyes.picture(frame), expected, KEPT * size);
  const found = picture && findBlade(picture, await withPictures(eyes, by), expected, size, onIce);
  eyes.blades?.set(key, found);
  return found;
}

function nearestOf(taught: readonly Taught[], frame: number): Taught[] {
  const away = (t: Taught) => Math.abs(t.blade.frame - frame);
  return taught
    .filter((t) => away(t) > 0)
    .sort((a, b) => away(a) - away(b))
    .slice(0, VOTES);
}

async function withPictures(eyes: Eyes, blades: readonly Taught["blade"][]): Promise<KnownBlade[]> {
  const known: KnownBlade[] = [];
  for (const blade of blades) {
    const picture = about(await eyes.picture(blade.frame), middleOf(blade), KEPT * blade.size);
    if (picture) known.push({ ...blade, picture });
  }
  return known;
}

function about(picture: Parameters<typeof greyPart>[0], { x, y }: { x: number; y: number }, reach: number) {
  return greyPart(picture, { x: x - reach, y: y - reach }, { x: x + reach, y: y + reach });
}

/** SD of a blade end, px: what suggestions would have missed the confirmed blades by, each looked for by the others. */
async function taughtSd(
  scene: Scene,
  taught: readonly Taught[],
  landing: Landings,
  close: Close,
): Promise<number> {
  const off = await misses(scene, taught, landing, close);
  // The ends of one blade are found together: a blade counts as one place, both coordinates, less the templates' own.
  return Math.max(LEAST_SD_PX, ownSd(off, off.length / 2 - 2) ?? UNTOLD_SD_PX);
}

/** Each confirmed blade looked for by the others, px, where it would have been suggested. */
async function misses(
  scene: Scene,
  taught: readonly Taught[],
  landing: Landings,
  close: Close,
): Promise<number[]> {
  const all: number[] = [];
  for (const { blade, byHand } of taught) {
    // One taken over lies where these very strides put it: it tells nothing of how they miss.
    if (!byHand) continue;
    const others = taught.filter((t) => t.blade.frame !== blade.frame);
    if (others.length < 2) continue;
    const found = await lookFor(scene, others, blade.frame, landing, close);
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
