import {
  FOREARM_SHARE,
  LIMB_SPREAD,
  type Prior,
  SHOULDER_ABOVE,
  SHOULDER_AHEAD,
  SHOULDER_OUTWARD,
  TAPED_LIMB_U,
  UPPER_ARM_SHARE,
} from "../../priors.ts";
import type { Side } from "../../study/types.ts";
import { type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { sideSign } from "../trial/across.ts";
import { bladeAt } from "../trial/bladePlaces.ts";
import { bodyAlong, hipHeight } from "../trial/midHip.ts";
import { slot } from "../trial/notebook.ts";
import { leftward } from "../trial/onLine.ts";
import type { TravelLine } from "../trial/travelLine.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";

const LIMB = slot<"upper arm" | "forearm", Uncertain>();

/** Lengths of this skater's upper arm and forearm: taped, or a share of stature. */
export function limbs(trial: TrialGeometry): readonly [upperArm: Uncertain, forearm: Uncertain] {
  return [
    limb(trial, "upper arm", trial.body.upperArm, UPPER_ARM_SHARE),
    limb(trial, "forearm", trial.body.forearm, FOREARM_SHARE),
  ];
}

function limb(
  trial: TrialGeometry,
  name: "upper arm" | "forearm",
  taped: number | undefined,
  share: number,
): Uncertain {
  return trial.remember(LIMB, name, () => {
    if (taped !== undefined) return trial.belief(name, null, { mean: taped, u: TAPED_LIMB_U });
    const { stature } = trial.body;
    if (stature === undefined) {
      throw new Unmeasurable(
        `The direction of an arm needs its length: type the skater's ${name}, or the stature it can be guessed from.`,
      );
    }
    const guessed = share * stature;
    return trial.belief(name, null, { mean: guessed, u: LIMB_SPREAD * guessed });
  });
}

/** Where a shoulder is before looking, in coordinates of the line of travel. */
export function shoulderBelief(trial: TrialGeometry, frame: number, side: Side, line: TravelLine) {
  const sign = sideSign(side);
  const add = (what: string, base: Uncertain, prior: Prior, weight = 1) =>
    weightedSum([
      [1, base],
      [weight, trial.belief(`${side} shoulder ${what}`, frame, prior)],
    ]);
  return {
    along: add("ahead", bodyAlong(trial, frame, line), SHOULDER_AHEAD),
    across: add("outward", trackMidline(trial, line), SHOULDER_OUTWARD, sign),
    height: add("above", hipHeight(trial, frame), SHOULDER_ABOVE),
  };
}

/** How far left of the line the track's midline runs: half way to the blade-off between its two ends. */
function trackMidline(trial: TrialGeometry, line: TravelLine): Uncertain {
  const between = bladeAt(trial, line.middle, "blade_off");
  return weightedSum([[0.5, leftward(line, line.from, between)]]);
}
