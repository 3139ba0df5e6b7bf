import { weightedSum } from "../../uncertainty/uncertain.ts";
import { attempt, ifPossible, type Outcome, readingOf, type Shown } from "../quantities/readingOf.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { type TravelLine, travelLine } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import { viewAngleDeg } from "../trial/viewAngle.ts";
import type { GateSpeed, SprintCurve } from "../types.ts";
import { alongTrackSpeed, POSSIBLE_SPEED, speedLimit } from "./alongTrackSpeed.ts";
import { type SprintFit, type StretchSpeed, sprintCurve } from "./sprintCurve.ts";

/** Nearer to the travel than this the camera sees speed only as growing or shrinking. */
const ALONG_VIEW_DEG = 30;

/** One along-track speed with where and when it was. */
interface Stretch extends StretchSpeed {
  readonly stride: number;
  readonly line: TravelLine;
  /** Middle of the stretch along the lane, metres. */
  readonly x: number;
}

/** Why the speed about a stride is not to be believed; null when it is. */
type Doubt = (stride: number) => string | null;

/** Speeds about the strides themselves: those at the ends are of the same stretches again. */
function stretchesOf(trial: TrialGeometry, doubt: Doubt): Stretch[] {
  const whys = trial.strides.map(({ stride }) => doubt(stride));
  const [why] = whys;
  if (why && whys.every((w) => w !== null)) throw new Unmeasurable(why);
  return trial.strides.flatMap(({ stride, off }, k) => {
    if (whys[k] !== null) return [];
    const outcome: Outcome = ifPossible(
      attempt(() => alongTrackSpeed(trial, stride)),
      POSSIBLE_SPEED,
      off.frame,
    );
    if ("why" in outcome || outcome.value.u95 > speedLimit(outcome.value.value)) return [];
    const line = travelLine(trial, stride);
    if (line.middle.stride !== stride) return [];
    const [from, to] = line.seconds.map((s) => s.value) as [number, number];
    return [{ stride, line, from, to, speed: outcome.value, x: (line.from.x.value + line.to.x.value) / 2 }];
  });
}

/** The sprint curve through a trial's along-track speeds, where the view shows them. */
export function trialSprint(trial: TrialGeometry, shown: Shown, doubt: Doubt): SprintCurve {
  try {
    const { alongWhy } = trial.ground;
    if (alongWhy) throw new Unmeasurable(alongWhy);
    const stretches = stretchesOf(trial, doubt);
    for (const { line } of stretches) {
      const view = viewAngleDeg(trial, line.middle.off.frame, line.from, line);
      if (view === null || view >= ALONG_VIEW_DEG) continue;
      throw new Unmeasurable(
        `The camera looks along the travel (${view.toFixed(0)}° from it), where speed shows only as growing or shrinking. For a sprint curve film from the side.`,
      );
    }
    return shownCurve(sprintCurve(stretches), stretches, shown);
  } catch (error) {
    if (error instanceof Unmeasurable) return { value: null, why: error.why };
    throw error;
  }
}

function shownCurve(fit: SprintFit, stretches: readonly Stretch[], shown: Shown): SprintCurve {
  return {
    top: readingOf({ value: fit.top }, shown),
    tau: readingOf({ value: fit.tau }, shown),
    start: readingOf({ value: fit.start }, shown),
    misfit: fit.misfit,
    n: stretches.length,
    from: Math.min(...stretches.map((s) => s.from)),
    to: Math.max(...stretches.map((s) => s.to)),
  };
}

/** Along-track speed at places along the lane: between the speeds before and after, by straight line. */
export function gateSpeeds(
  trial: TrialGeometry,
  gates: readonly number[],
  shown: Shown,
  doubt: Doubt,
): GateSpeed[] {
  return gates.map((x) => ({
    x,
    speed: readingOf(
      attempt(() => {
        const { alongWhy } = trial.ground;
        if (alongWhy) throw new Unmeasurable(alongWhy);
        const stretches = stretchesOf(trial, doubt).sort((a, b) => a.x - b.x);
        const after = stretches.find((s) => s.x >= x);
        const before = stretches.filter((s) => s.x < x).at(-1);
        if (!before || !after) {
          throw new Unmeasurable(
            `There is no along-track speed both before and after the gate at ${x} m. Mark strides on both sides of it, in a view that shows speed.`,
          );
        }
        const share = (x - before.x) / (after.x - before.x);
        return {
          value: weightedSum([
            [1 - share, before.speed],
            [share, after.speed],
          ]),
        };
      }),
      shown,
      speedLimit,
      "m/s",
    ),
  }));
}
