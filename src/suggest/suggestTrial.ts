import type { EventFrame, Mark, PointName, Side } from "../study/types.ts";
import { smoothSizes } from "./bodySizes.ts";
import { isCutOff } from "./follow.ts";
import { Rhythm } from "./rhythm.ts";
import type { Eyes, Refusal, SuggestedPoint } from "./scene.ts";
import { suggestedBlades } from "./suggestedBlades.ts";
import { suggestedBody } from "./suggestedBody.ts";
import { FEWEST_LESSONS, type FoundEvent, type SuggestedEvent, suggestedEvents } from "./suggestedEvents.ts";
import { type Lessons, lessonsOf, SIDES, taughtStrides } from "./taught.ts";
import { tooManyMoved } from "./tooManyMoved.ts";

/** What has been confirmed on a clip. */
export interface Confirmed {
  readonly events: readonly EventFrame[];
  readonly marks: readonly Mark[];
  readonly picture: { readonly width: number; readonly height: number };
  /** Real seconds between frames. */
  readonly realInterval: number;
}

export interface Suggestions {
  readonly model: string;
  readonly taught: Readonly<Record<Side, number>>;
  readonly events: readonly (SuggestedEvent & { readonly sdFrames: number })[];
  readonly points: readonly SuggestedPoint[];
  readonly refused: readonly Refusal[];
}

/**
 * What is known before anybody looks at the clip: how many strides are taught, and what is refused for that.
 *
 * @returns `isAll`: nothing would come of looking, and `known` is the answer; else the lessons to go by
 */
export function beforeLooking(
  { events, marks }: Pick<Confirmed, "events" | "marks">,
  model: string,
): { readonly isAll: boolean; readonly known: Suggestions; readonly ready: readonly Lessons[] } {
  const lessons = lessonsOf(events, marks);
  const taught = { left: taughtStrides(lessons, "left"), right: taughtStrides(lessons, "right") };
  const stopped = tooManyMoved(marks);
  const few = SIDES.filter((side) => taught[side] < FEWEST_LESSONS);
  const refused: Refusal[] = stopped
    ? [{ what: "everything", why: stopped }]
    : few.map((side) => ({ what: "everything", side, why: tooFew(side, taught[side]) }));
  const ready = lessons.filter(({ side }) => !few.includes(side));
  const isAll = stopped !== null || ready.length === 0;
  return { isAll, known: { model, taught, events: [], points: [], refused }, ready };
}

/**
 * Marks and events a person may look at and take: where this skater's blades and joints should be by what has been
 * confirmed of her earlier strides. Nothing here is a mark; nothing is measured from it until somebody has looked at it.
 *
 * Only what is not confirmed yet. Refused rather than guessed: before two strides of a side are marked, where the body is
 * partly outside the picture or lost, where blades of earlier strides disagree, and blades from beside the lane.
 */
export async function suggestTrial(confirmed: Confirmed, eyes: Eyes): Promise<Suggestions> {
  const { marks, picture, realInterval } = confirmed;
  const { model } = eyes;
  const before = beforeLooking(confirmed, model);
  if (before.isAll) return before.known;
  const { ready, known } = before;
  const { taught } = known;
  const refused = [...known.refused];
  const whole = eyes.bodies.map((body) => (body && !isCutOff(body, picture) ? body : undefined));
  if (whole.every((body) => !body)) {
    refused.push({
      what: "everything",
      why: "The skater was not found in the picture where you marked. Mark two strides a side where the whole body is in the picture and large, or mark the rest by hand.",
    });
    return { model, taught, events: [], points: [], refused };
  }
  if (eyes.bodies.some((body, frame) => body && !whole[frame]))
    refused.push({
      what: "everything",
      why: `Nothing is suggested in ${spans(eyes.bodies.flatMap((b, f) => (b && !whole[f] ? [f] : [])))}: there the skater is partly outside the picture.`,
    });
  const sizes = smoothSizes(whole, realInterval);
  const rhythm = new Rhythm(whole, sizes, realInterval);
  const { events: all, sdFrames } = suggestedEvents(ready, rhythm, realInterval);
  const found: SuggestedEvent[] = [];
  for (const e of all) {
    const { event, side, frame } = e;
    const why = untold(e, realInterval);
    if (why === null) found.push({ event, side, frame });
    else refused.push({ what: "events", event, side, frame, why });
  }
  const at = { lessons: ready, eyes, whole, sizes, realInterval };
  const wanted = [
    ...found,
    ...ready.flatMap(({ event, side, all }) => all.map(({ frame }) => ({ event, side, frame }))),
  ];
  const body = await suggestedBody(at, wanted);
  const blades = await suggestedBlades(at, wanted);
  const taken = new Set(marks.map(keyOf));
  const points = new Map<string, SuggestedPoint>();
  for (const point of [...body.points, ...blades.points]) {
    const key = keyOf(point);
    if (!taken.has(key) && !points.has(key)) points.set(key, point);
  }
  return {
    model,
    taught,
    events: found.map((e) => ({ ...e, sdFrames: sdFrames(e.event) })).sort((a, b) => a.frame - b.frame),
    points: [...points.values()].sort((a, b) => a.frame - b.frame),
    refused: [...refused, ...body.refused, ...blades.refused],
  };
}

/** Confirmed strides that would have an event farther apart than this, real seconds, do not tell it: three frames at 60 a second. */
const MOST_APART_S = 3 / 60;
/** More of the limbs than this elsewhere, even in the frame most alike: what is alike is chance. [simulated: docs/suggested-marks.md] */
const MOST_ELSEWHERE = 0.7;

/** Why the frame of an event is not told within a frame, in words; null where it is. */
function untold({ spread, elsewhere }: FoundEvent, realInterval: number): string | null {
  if (spread > MOST_APART_S / realInterval)
    return "The strides you marked do not agree on the frame. Pick it by hand about here.";
  if (elsewhere > MOST_ELSEWHERE)
    return "Too few of the limbs are seen here as in the strides you marked. Pick the frame by hand about here.";
  return null;
}

function keyOf({ frame, point, side }: { frame: number; point: PointName; side: Side }): string {
  return `${frame} ${point} ${side}`;
}

function tooFew(side: Side, n: number): string {
  const have = n === 0 ? "none is" : "one is";
  return `Mark ${FEWEST_LESSONS} strides of the ${side} side by hand first, where the skater is large in the picture; ${have} marked so far.`;
}

/** "frames 3 to 17 and 40 to 52" */
function spans(frames: readonly number[]): string {
  const parts: [number, number][] = [];
  for (const f of frames) {
    const last = parts.at(-1);
    if (last && f - last[1] <= 2) last[1] = f;
    else parts.push([f, f]);
  }
  const words = parts.map(([a, b]) => (a === b ? `${a}` : `${a} to ${b}`));
  return `frame${frames.length === 1 ? "" : "s"} ${words.length > 1 ? `${words.slice(0, -1).join(", ")} and ${words.at(-1)}` : words[0]}`;
}
