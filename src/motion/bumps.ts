import { median } from "../statistics/median.ts";

/** One coordinate of the camera's motion over frames that are known, px. */
export type Course = readonly number[];

export interface Step {
  /** The first place in the course after it. */
  readonly at: number;
  /** Of each course. */
  readonly sizes: readonly number[];
}

/** Frames on each side over which a step is looked for: a quiet clip shows it at once, a shaking one only over many. */
const SPANS = [4, 8, 16, 32, 64];
/** A step must stay so long, or to the end of the clip. */
const STAYS = 16;
/** Robust SD of the differences of the whole clip that a step must exceed. */
const CLEAR = 6;
/** Times as large as the difference one span earlier and later: a pan is about as fast there, a step is over. */
const ABRUPT = 3;
/** Share of a step that must be there already over a shorter span that could show it: a quick pan takes its time. */
const AT_ONCE = 0.7;
/** Steps nearer to each other are one knock. */
const ONE_KNOCK = 6;

/**
 * Steps that stay, such as a tripod that was knocked makes; neither jitter nor a pan.
 *
 * @param courses of equal length
 * @param leastPx smaller ones are not worth telling, or are noise
 */
export function findSteps(courses: readonly Course[], leastPx: number): Step[] {
  const found = courses.flatMap((course) => stepsOf(course, leastPx)).sort((a, b) => a.clear - b.clear);
  const steps: number[] = [];
  for (let step = found.pop(); step; step = found.pop())
    if (steps.every((at) => Math.abs(at - step!.at) > ONE_KNOCK)) steps.push(step.at);
  return steps
    .sort((a, b) => a - b)
    .map((at) => ({ at, sizes: courses.map((course) => sizeAt(course, at, steps)) }))
    .filter(({ sizes }) => Math.hypot(...sizes) > leastPx);
}

interface Candidate {
  readonly at: number;
  /** How far beyond what the clip does anyway. */
  readonly clear: number;
}

function stepsOf(course: Course, leastPx: number): Candidate[] {
  const spans = SPANS.filter((span) => course.length >= 4 * span);
  const looks: Look[] = [];
  for (const span of spans) looks.push(look(course, span, looks.at(-1)));
  const found: Candidate[] = [];
  for (const [s, { span, jumps, usual }] of looks.entries()) {
    const least = Math.max(leastPx, CLEAR * usual);
    for (let at = span; at <= course.length - span; at++) {
      const jump = jumps[at]!;
      if (!(Math.abs(jump) > least) || !isPeak(jumps, at, span)) continue;
      const beside = [-2, -1, 1, 2].map((k) => Math.abs(jumps[at + k * span] ?? 0));
      if (!(Math.abs(jump) > ABRUPT * Math.max(...beside))) continue;
      const shorter = looks.slice(0, s).filter((l) => Math.abs(jump) > CLEAR * l.usual);
      if (!shorter.every((l) => largestNear(l.jumps, at, jump) > AT_ONCE * Math.abs(jump))) continue;
      const longer = looks.filter((l) => l.span > span && l.span <= STAYS && l.jumps[at] !== undefined);
      if (!longer.every((l) => l.jumps[at]! / jump > 0.5)) continue;
      found.push({
        at: bestSplit(course, at, span),
        clear: Math.abs(jump) / Math.max(usual, leastPx / CLEAR),
      });
    }
  }
  return found;
}

interface Look {
  readonly span: number;
  /** By place: the median of the frames from it on, less that of those before it. */
  readonly jumps: readonly (number | undefined)[];
  /** Their robust SD over the clip; at least what the shorter span's would be if each frame were off by itself: of a sway as long
   * as the span its own shows nothing. */
  readonly usual: number;
}

function look(course: Course, span: number, shorter: Look | undefined): Look {
  const jumps: (number | undefined)[] = new Array(course.length + 1).fill(undefined);
  for (let at = span; at <= course.length - span; at++)
    jumps[at] = median(course.slice(at, at + span)) - median(course.slice(at - span, at));
  const sizes = jumps.flatMap((j) => (j === undefined ? [] : [Math.abs(j)]));
  const least = shorter ? shorter.usual * Math.sqrt(shorter.span / span) : 0;
  return { span, jumps, usual: Math.max(1.4826 * median(sizes), least) };
}

function isPeak(jumps: Look["jumps"], at: number, span: number): boolean {
  for (let k = Math.max(0, at - span); k <= at + span; k++)
    if (Math.abs(jumps[k] ?? 0) > Math.abs(jumps[at]!)) return false;
  return true;
}

/** The largest of the same sign within two frames. */
function largestNear(jumps: Look["jumps"], at: number, like: number): number {
  return Math.max(...[-2, -1, 0, 1, 2].map((k) => (jumps[at + k] ?? 0) * Math.sign(like)));
}

/** Where two levels fit best, by the sum of distances from each side's median. */
function bestSplit(course: Course, near: number, span: number): number {
  const [from, to] = [Math.max(0, near - span), Math.min(course.length, near + span)];
  const cost = (part: Course) => {
    const middle = median(part);
    return part.reduce((sum, v) => sum + Math.abs(v - middle), 0);
  };
  let best = near;
  let least = Number.POSITIVE_INFINITY;
  for (let at = from + 2; at <= to - 2; at++) {
    const whole = cost(course.slice(from, at)) + cost(course.slice(at, to));
    if (whole < least) {
      least = whole;
      best = at;
    }
  }
  return best;
}

/** Standard uncertainty of a step's size that is aimed at, px: the more a clip shakes the longer it is looked at. */
const SIZE_SD_PX = 0.1;

/** A step's size: the level after it less that before it, less what the camera moves anyway in that time. */
function sizeAt(course: Course, at: number, steps: readonly number[]): number {
  const others = steps.filter((other) => other !== at).map((other) => Math.abs(other - at));
  const room = Math.min(at, course.length - at, ...others);
  const shake = scatter(course);
  const span = Math.min(room, Math.max(8, Math.min(64, Math.ceil(2 * (shake / SIZE_SD_PX) ** 2))));
  const level = (from: number) => trimmedMean(course.slice(from, from + span));
  const jump = level(at) - level(at - span);
  if (room < 2 * span) return jump;
  const before = level(at - span) - level(at - 2 * span);
  const after = level(at + span) - level(at);
  const drift = (before + after) / 2;
  // Taken off where it is more than the scatter of four such means.
  return Math.abs(drift) > 3 * shake * Math.sqrt(1 / span) && Math.sign(before) === Math.sign(after)
    ? jump - drift
    : jump;
}

/** Robust SD of what a course does from one frame to the next, as if each were off by itself. */
function scatter(course: Course): number {
  const changes = course.slice(1).map((v, i) => Math.abs(v - course[i]!));
  return changes.length === 0 ? 0 : (1.4826 * median(changes)) / Math.SQRT2;
}

/** The same of what is left of it when it goes on as between the two frames before: a steady pan is no shaking. */
export function shaking(course: Course): number {
  const changes = course.slice(2).map((v, i) => Math.abs(v - 2 * course[i + 1]! + course[i]!));
  return changes.length === 0 ? 0 : (1.4826 * median(changes)) / Math.sqrt(6);
}

/** Mean of the middle three fifths. */
function trimmedMean(values: Course): number {
  const sorted = values.slice().sort((a, b) => a - b);
  const cut = Math.floor(values.length / 5);
  const kept = sorted.slice(cut, sorted.length - cut);
  return kept.reduce((sum, v) => sum + v, 0) / kept.length;
}
