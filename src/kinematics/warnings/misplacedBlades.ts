import { bladeNumber } from "../../marks/markTable.ts";
import type { Warning } from "../../reading.ts";
import type { EventFrame, Side } from "../../study/types.ts";
import { realSeconds } from "../../time/speedFactor.ts";
import { covariance } from "../../uncertainty/uncertain.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { distance, otherSide, sideSign } from "../trial/across.ts";
import { type BladePlace, tryPlace } from "../trial/bladePlaces.ts";
import { slot } from "../trial/notebook.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import { farthestJump, type Jump, type Kind, type TimedPlace } from "./jumps.ts";

const MISPLACED = slot<0, Warning[]>();
const SPREAD = slot<number, Spread>();

/** Variances of x and y and their covariance. */
type Spread = readonly [xx: number, xy: number, yy: number];

/** SD of where a blade lies along and across the travel beside where it does in other strides, metres. [judgement: steps vary by some centimetres] */
const HABIT = { along: 0.07, across: 0.04 };
/** A blade that is a little off the ice is laid out along the view, metres for a 60 Hz clip and a camera as high as far. @see LANDING_SPEED */
const LIFT = 0.007;
/** Beyond so many standard deviations, and so many metres ahead or behind, it is no habit. Found by trying: docs/precision.md 10. */
const FAR = { deviations: 3.5, metres: 0.15 };
/** More than this many jumps are no slips of one frame. */
const MOST = 3;

interface Placed extends TimedPlace {
  readonly stride: number;
  readonly side: Side;
  readonly frame: number;
}

/**
 * Blades that lie where their skater can't be at that moment. A skater moves on steadily, and at each kind of event the
 * blades lie alike before or behind: what jumps along the lane was marked in another frame's picture.
 */
export function misplacedBlades(trial: TrialGeometry): Warning[] {
  return trial.strides.length < 3 ? [] : trial.remember(MISPLACED, 0, () => findMisplaced(trial));
}

function findMisplaced(trial: TrialGeometry): Warning[] {
  const found: Warning[] = [];
  let left = placesOf(trial);
  while (found.length < MOST) {
    const jump = farthestJump(left, groupsOf(left));
    if (!jump || jump.deviations < FAR.deviations || Math.abs(jump.ahead) < FAR.metres) return found;
    const members = jump.members.map((k) => left[k]!);
    found.push(told(trial, members, jump));
    left = left.filter((p) => !members.includes(p));
  }
  return found;
}

/** Blades on the ice at the events, along the mean line of travel; none where the scale shows nothing along the lane. */
function placesOf(trial: TrialGeometry): Placed[] {
  try {
    const { ground } = trial;
    if (ground.alongWhy || ground.betweenFramesWhy) return [];
    const contacts = trial.strides.flatMap(({ stride, side, off, on }): Omit<Contacted, "place">[] => [
      { stride, side, event: off, kind: "leaves" },
      { stride, side: otherSide(side), event: off, kind: "stands" },
      ...(on ? [{ stride, side, event: on, kind: "lands" } as const] : []),
    ]);
    const blades = contacts.flatMap((contact): Contacted[] => {
      const place = tryPlace(trial, contact.event.frame, contact.side);
      return place ? [{ ...contact, place }] : [];
    });
    const line = direction(trial, blades);
    return line ? blades.map((blade) => placed(trial, blade, line)) : [];
  } catch (error) {
    if (error instanceof Unmeasurable) return [];
    throw error;
  }
}

/** A blade on the ice at an event. */
interface Contacted {
  readonly stride: number;
  readonly side: Side;
  readonly event: EventFrame;
  readonly kind: Kind;
  readonly place: BladePlace;
}

function placed(
  trial: TrialGeometry,
  { stride, side, event, kind, place }: Contacted,
  [tx, ty]: readonly [number, number],
): Placed {
  const { x, y, frame } = place;
  const [xx, xy, yy] = trial.remember(SPREAD, bladeNumber(frame, side), () => [
    x.u ** 2,
    covariance(x, y),
    y.u ** 2,
  ]);
  const camera = trial.ground.cameraIn(frame)?.camera;
  const lift = camera ? (LIFT * 60 * trial.frameSeconds) / camera.z : 0;
  const away = camera ? [lift * (x.value - camera.x), lift * (y.value - camera.y)] : [0, 0];
  const [ax, ay] = away as [number, number];
  const along = (px: number, py: number) => tx * px + ty * py;
  const left = (px: number, py: number) => tx * py - ty * px;
  const raised = [along(ax, ay), left(ax, ay)] as const;
  return {
    ...{ stride, side, frame, kind },
    time: realSeconds(event.time, trial.speedFactor),
    outward: sideSign(side),
    along: along(x.value, y.value),
    left: left(x.value, y.value),
    spread: [
      tx * tx * xx + 2 * tx * ty * xy + ty * ty * yy + raised[0] ** 2 + HABIT.along ** 2,
      tx * ty * (yy - xx) + (tx * tx - ty * ty) * xy + raised[0] * raised[1],
      tx * tx * yy - 2 * tx * ty * xy + ty * ty * xx + raised[1] ** 2 + HABIT.across ** 2,
    ],
  };
}

/** Unit vector of the mean travel, by straight lines of x and y over time. */
function direction(trial: TrialGeometry, blades: readonly Contacted[]): readonly [number, number] | null {
  const times = blades.map(({ event }) => realSeconds(event.time, trial.speedFactor));
  const mean = times.reduce((sum, t) => sum + t, 0) / times.length;
  let [x, y] = [0, 0];
  blades.forEach(({ place }, k) => {
    x += (times[k]! - mean) * place.x.value;
    y += (times[k]! - mean) * place.y.value;
  });
  const length = distance(x, y);
  return length > 0 ? [x / length, y / length] : null;
}

/** What may have been marked late together: one blade in one frame, both in one frame, all of a stride. */
function groupsOf(places: readonly Placed[]): number[][] {
  const by = (key: (p: Placed) => number) => {
    const groups = new Map<number, number[]>();
    places.forEach((p, k) => {
      groups.set(key(p), [...(groups.get(key(p)) ?? []), k]);
    });
    return [...groups.values()].filter((group) => group.length > 1);
  };
  return [...places.map((_, k) => [k]), ...by((p) => p.frame), ...by((p) => p.stride)];
}

function told(trial: TrialGeometry, members: readonly Placed[], { ahead, speed }: Jump): Warning {
  const [first] = members;
  const sides = [...new Set(members.map((p) => p.side))];
  const frames = [...new Set(members.map((p) => p.frame))];
  const late = Math.round(Math.abs(ahead) / (Math.abs(speed) * trial.frameSeconds));
  const where = `${frames.length === 1 ? "frame" : "frames"} ${frames.join(" and ")}`;
  const when =
    late >= 1 && late <= 30
      ? `, as if they had been put ${late} ${late === 1 ? "frame" : "frames"} ${ahead > 0 === speed > 0 ? "later" : "earlier"}`
      : "";
  return {
    code: "blade-out-of-place",
    text: `In stride ${first!.stride} the marks of ${sides.length === 1 ? `the ${sides[0]} blade` : "both blades"} in ${where} lie ${(100 * Math.abs(ahead)).toFixed(0)} cm ${ahead > 0 ? "ahead of" : "behind"} where the skater is at that moment${when}. Check that ${frames.length === 1 ? "they were" : "those of each frame were"} put on the picture of that very frame.`,
    about: { blades: members.map(({ frame, side }) => ({ frame, side })) },
  };
}
