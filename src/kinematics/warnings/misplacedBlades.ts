import type { Warning } from "../../reading.ts";
import type { Side } from "../../study/types.ts";
import { realSeconds } from "../../time/speedFactor.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { distance, otherSide } from "../trial/across.ts";
import { type BladePlace, tryPlace } from "../trial/bladePlaces.ts";
import { slot } from "../trial/notebook.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import { farthestJump, type Jump, type TimedPlace } from "./jumps.ts";

const MISPLACED = slot<0, Warning[]>();

/** SD of where a blade lies along the travel beside where it does in other strides, metres. [judgement: steps vary by some centimetres] */
const HABIT = 0.07;
/** A blade that is a little off the ice is laid out along the view, metres for a 60 Hz clip and a camera as high as far. @see LIFT_ON */
const LIFT = 0.007;
/** Beyond so many standard deviations, and so many metres, it is no habit. Found by trying: in clean trials about one in 200 is told. */
const FAR = { deviations: 4, metres: 0.25 };
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
    if (!jump || Math.abs(jump.deviations) < FAR.deviations || Math.abs(jump.ahead) < FAR.metres)
      return found;
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
    const contacts = trial.strides.flatMap(({ stride, side, off, on }) => [
      { stride, side, event: off, kind: 0 },
      { stride, side: otherSide(side), event: off, kind: 1 },
      ...(on ? [{ stride, side, event: on, kind: 2 }] : []),
    ]);
    const blades = contacts.flatMap(({ stride, side, event, kind }) => {
      const place = tryPlace(trial, event.frame, side);
      return place ? [{ stride, side, kind, place, time: realSeconds(event.time, trial.speedFactor) }] : [];
    });
    const line = direction(blades);
    if (!line) return [];
    const lift = LIFT * 60 * trial.frameSeconds;
    return blades.map(({ stride, side, kind, time, place }) => {
      const camera = ground.cameraIn(place.frame)?.camera;
      const away = camera ? distance(place.x.value - camera.x, place.y.value - camera.y) / camera.z : 0;
      return {
        stride,
        side,
        kind,
        time,
        frame: place.frame,
        along: line[0] * place.x.value + line[1] * place.y.value,
        u: Math.hypot(line[0] * place.x.u, line[1] * place.y.u, lift * away, HABIT),
      };
    });
  } catch (error) {
    if (error instanceof Unmeasurable) return [];
    throw error;
  }
}

/** Unit vector of the mean travel, by straight lines of x and y over time. */
function direction(
  blades: readonly { readonly time: number; readonly place: BladePlace }[],
): readonly [number, number] | null {
  const mean = blades.reduce((sum, b) => sum + b.time, 0) / blades.length;
  let [x, y] = [0, 0];
  for (const { time, place } of blades) {
    x += (time - mean) * place.x.value;
    y += (time - mean) * place.y.value;
  }
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
