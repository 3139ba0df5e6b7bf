import type { Stride } from "../kinematics/types.ts";
import type { OrWhy, Warning } from "../reading.ts";
import type { TimedWhole } from "../study/timed.ts";
import type { Lane } from "../study/types.ts";
import { endGates, type GateTime, gateTimeFromFrames, gateTimeFromStrides } from "./gateTime.ts";
import { judgePairing, type Pairing } from "./pairing.ts";
import { timeText } from "./readTime.ts";

const CODES = {
  consistent: "pairing",
  speed: "pairing-speed",
  contradiction: "pairing-refuted",
} as const satisfies Record<Pairing["verdict"], Warning["code"]>;

/**
 * Compares the clip's own time between two gates with the photocells': strides' blade-off points, interpolated to the
 * gates. A time can refute a pairing, never confirm it.
 *
 * @param gates positions along the lane, metres
 * @param photocell seconds between them
 * @param start an unsaid start counts as a standing one, the less certain
 */
export function clipGateTime(
  strides: readonly Stride[],
  gates: readonly [number, number],
  photocell: number,
  start: Lane["start"],
): Warning {
  return said(gateTimeFromStrides(strides, gates, start), photocell, (clip) => judgePairing(clip, photocell));
}

/**
 * The same for a trial of a study: from its gate frames where both are picked, else from its blade-offs, with
 * the other timed trials that the clip's time would fit. Null where there is no time or the lane has not two gates.
 *
 * @param strides of the trial as measured; none where it cannot be measured
 */
export function trialPairing(
  { study, marks }: TimedWhole,
  trialId: string,
  strides: readonly Stride[],
): Warning | null {
  const trial = study.trials.find((t) => t.id === trialId);
  const gates = endGates(study.lane);
  // A clip is not held against the time that it gave itself.
  if (!trial || trial.time === null || trial.clipSd !== undefined || !gates) return null;
  const { picture, gatePassings = [] } = marks[trialId] ?? { picture: null };
  const picked: OrWhy<GateTime> = !picture
    ? { value: null, why: "nothing is marked on its clip yet." }
    : gateTimeFromFrames(
        gatePassings,
        gates,
        { frameInterval: picture.frameInterval, speedFactor: trial.speedFactor },
        study.lane.start,
      );
  const clip = picked.value !== null ? picked : gateTimeFromStrides(strides, gates, study.lane.start);
  const others = study.trials.flatMap((t) =>
    t.id !== trialId && t.valid && t.time !== null && t.clipSd === undefined
      ? [{ time: t.time, order: t.order }]
      : [],
  );
  const { time } = trial;
  // Who has begun to pick gate frames wants to know what is missing of those.
  const best = clip.value === null && gatePassings.length > 0 ? picked : clip;
  return said(best, time, (found) => judgePairing(found, time, study.lane.gateBeam, others));
}

function said(clip: OrWhy<GateTime>, photocell: number, judge: (clip: GateTime) => Pairing): Warning {
  if (clip.value === null) {
    return {
      code: "pairing-not-checked",
      text: `Whether this clip belongs to the time ${timeText(photocell)} s could not be checked: ${clip.why}`,
    };
  }
  const { verdict, text } = judge(clip);
  return { code: CODES[verdict], text };
}
