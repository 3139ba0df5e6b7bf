import type { Stride } from "../kinematics/types.ts";
import type { Warning } from "../reading.ts";
import { lengthText } from "../study/length.ts";
import type { GatePassing, WholeStudy } from "../study/types.ts";
import { formatNumber } from "../uncertainty/format.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import { gateTimeFromFrames, gateTimeFromStrides, speedAtGates } from "./gateTime.ts";
import type { ReadingOf } from "./techniqueCheck.ts";

/** Told one time in a hundred by chance. */
const SURE = 2.58;
/** Differences smaller than this share change no answer. */
const LEAST = 0.025;
/** How far the front of the skater, which breaks the beam, is ahead of a blade that leaves, metres. [judgement: hips 0.35 ahead of it, the front as much again] */
const LEAD = { mean: 0.65, u: 0.3 };

/**
 * The scale along the lane against the gates: from one gate to another the skater takes as long by the frames picked for
 * them, which know no scale, as by where the blades are. Where ice points are in yards, or a tape is long, the blades come to
 * the second gate too soon. Needs no photocell, no skater's measure and no other trial.
 */
export function scaleAgainstGates(whole: WholeStudy, trialId: string, readingOf: ReadingOf): Warning[] {
  const trial = whole.study.trials.find((t) => t.id === trialId);
  const own = readingOf(trialId);
  const { picture, gatePassings = [] } = whole.marks[trialId] ?? { picture: null };
  if (!trial || !own.ok || !picture) return [];
  const { strides } = own.value;
  const { lane } = whole.study;
  const timing = { frameInterval: picture.frameInterval, speedFactor: trial.speedFactor };
  for (const gates of widestFirst(gatePassings, lane.gates)) {
    const start = gates[0] === lane.gates[0] ? lane.start : "flying";
    const byFrames = gateTimeFromFrames(gatePassings, gates, timing, start);
    const byPlaces = gateTimeFromStrides(strides, gates, start);
    if (byFrames.value === null || byPlaces.value === null) continue;
    const slowness = slownessGained(strides, gates);
    // Faster at the second gate, the front is ahead by less time there.
    const expected = byFrames.value + LEAD.mean * slowness;
    const share = expected / byPlaces.value - 1;
    const u = Math.hypot(byFrames.sd, byPlaces.sd, LEAD.u * slowness) / byPlaces.value;
    if (Math.abs(share) <= Math.max(SURE * u, LEAST)) return [];
    const places = gates.map((gate) => lengthText(gate, lane.unit)) as [string, string];
    return [said(places, [byPlaces.value, byFrames.value], share, K95 * u)];
  }
  return [];
}

function said(
  [from, to]: readonly [string, string],
  [places, frames]: readonly [number, number],
  share: number,
  u95: number,
): Warning {
  const percent = (x: number) => (100 * Math.abs(x)).toFixed(0);
  const what = share > 0 ? "long" : "short";
  return {
    code: "scale-unlike-gates",
    text: `From the gate at ${from} to that at ${to} it is ${formatNumber(places, 2)} s by where the blades are, and ${formatNumber(frames, 2)} s by the frames picked for the gates. If those are right, distances along the lane come out ${percent(share)} ± ${percent(u95)} % too ${what} (yards taken for metres make them 9 % too long). Check the places of the ice points, where the gates stand, and their frames.`,
  };
}

/** Every pair of the lane's gates for which frames are picked, those farthest apart first. */
function widestFirst(passings: readonly GatePassing[], gates: readonly number[]): [number, number][] {
  const picked = gates.filter((gate) => passings.some((p) => Math.abs(p.gate - gate) < 1e-6));
  return picked
    .flatMap((a) => picked.flatMap((b): [number, number][] => (b > a ? [[a, b]] : [])))
    .sort(([a, b], [c, d]) => d - c - (b - a));
}

/** By how much less time a metre takes at the second gate than at the first; negative; s/m. */
function slownessGained(strides: readonly Stride[], gates: readonly [number, number]): number {
  const [first, last] = speedAtGates(strides, gates);
  return 1 / last - 1 / first;
}
