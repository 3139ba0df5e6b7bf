import { AIRBORNE_BLADE_HEIGHT, NEAREST_ACCELERATION } from "../../priors.ts";
import { weightedSum } from "../../uncertainty/uncertain.ts";
import { type AirborneBelief, airbornePoint, markMiddle, type UncertainPoint } from "../trial/airborne.ts";
import { alongBetween } from "../trial/alongBetween.ts";
import { noBladeOn } from "../trial/contact.ts";
import { type HipAt, midHip, outwardOfHip } from "../trial/midHip.ts";
import { slot } from "../trial/notebook.ts";
import type { StrideEvents } from "../trial/strideOrder.ts";
import { type TravelLine, travelLine } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import type { Quantity } from "./quantity.ts";
import { Unmeasurable } from "./unmeasurable.ts";

const RECOVERING = slot<number, ReturnType<typeof recoveringBlade>>();

/** Root mean square of t² for t anywhere within half a frame, frames². */
const BETWEEN_FRAMES = Math.sqrt(1 / 80);

/**
 * Recovery to midline: outward distance of the recovering blade from mid-hip at its nearest, across the
 * travel, metres; negative when it crosses the midline.
 *
 * The blade is in the air: along the travel it is between its two ice contacts (`alongBetween`).
 * At its nearest it does not move across, so the value at the frame needs no correction; but the frame nearest to that
 * moment is up to half a frame away, when the blade is a little farther out. At 60 Hz that is a millimetre, at 20 Hz one
 * centimetre.
 *
 * @param from where the recovering blade and mid-hip are found
 */
export function recoveryToMidline(
  trial: TrialGeometry,
  n: number,
  { bladeOf, hipAt }: { readonly bladeOf: typeof recoveringBlade; readonly hipAt: HipAt } = ONE_VIEW,
): Quantity {
  const { side } = trial.strides[n - 1]!;
  const { frame, line, place } = bladeOf(trial, n);
  const between = trial.sources.add(0, (NEAREST_ACCELERATION / 2) * BETWEEN_FRAMES * trial.frameSeconds ** 2);
  const atFrame = weightedSum([
    [1, outwardOfHip(side, place, hipAt(trial, frame, line), line)],
    [1, between],
  ]);
  return { atFrame, value: atFrame };
}

const ONE_VIEW = { bladeOf: recoveringBlade, hipAt: midHip };

/** The recovering blade of stride `n` where it is nearest the midline, in the air. @throws {Unmeasurable} */
export function recoveringBlade(
  trial: TrialGeometry,
  n: number,
): { readonly frame: number; readonly line: TravelLine; readonly place: UncertainPoint } {
  return trial.remember(RECOVERING, n, () => findBlade(trial, n));
}

function findBlade(trial: TrialGeometry, n: number): ReturnType<typeof recoveringBlade> {
  const at = trial.strides[n - 1]!;
  if (!at.nearest) {
    throw new Unmeasurable(
      `The frame in which the recovering ${at.side} blade is nearest the midline is not picked after its blade-off in frame ${at.off.frame}.`,
    );
  }
  if (!at.on) throw new Unmeasurable(noBladeOn(at));
  const line = travelLine(trial, n);
  const frame = at.nearest.frame;
  const mark = markMiddle(trial, frame, [
    [at.side, "blade_heel"],
    [at.side, "blade_toe"],
  ]);
  return { frame, line, place: airbornePoint(trial, { frame, mark }, line, bladeBelief(trial, at, line)) };
}

/** Where the recovering blade is at its nearest before looking: along the line of travel from its first point, and how high. */
export function bladeBelief(trial: TrialGeometry, at: StrideEvents, line: TravelLine): AirborneBelief {
  return {
    along: alongBetween(trial, at, line),
    height: trial.belief(`height of the ${at.side} blade`, at.nearest!.frame, AIRBORNE_BLADE_HEIGHT),
  };
}
