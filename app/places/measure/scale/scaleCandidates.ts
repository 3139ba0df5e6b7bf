import { rinkByKey, toLane } from "../../../../src/ice/rink/rinkMarkings.ts";
import type { LanePlacement, WholeStudy } from "../../../../src/study/types.ts";
import { icePlaces, icePointsOn } from "../../../commands/ice/icePoints.ts";
import type { IceCandidate } from "../core/tool.ts";

export interface Candidate extends IceCandidate {
  /** It is already on this trial's picture. */
  readonly marked: boolean;
}

/**
 * Places that can be marked as ice points of this trial: those marked here (on this frame, where the camera moves),
 * those of its other frames, those typed in this window, and those used in other trials of the study, each label
 * once. Lane coordinates, metres.
 */
export function candidates(
  whole: WholeStudy,
  trial: string,
  frame: number,
  typed: readonly IceCandidate[],
): readonly Candidate[] {
  const reference = whole.marks[trial]?.iceReference ?? null;
  const own = icePointsOn(reference, frame);
  const labels = new Set(own.map((p) => p.label));
  const found: Candidate[] = own.map((p) => ({ ...place(p), marked: true }));
  const others = Object.keys(whole.marks)
    .filter((id) => id !== trial)
    .flatMap((id) => icePlaces(whole.marks[id]?.iceReference ?? null));
  for (const p of [...icePlaces(reference), ...typed, ...others]) {
    if (labels.has(p.label)) continue;
    labels.add(p.label);
    found.push({ ...place(p), marked: false });
  }
  return found;
}

/** A rink marking with its place in the lane. */
export interface RinkCandidate extends IceCandidate {
  readonly description: string;
  /** The same place in rink coordinates, for the plan of the rink. */
  readonly rinkX: number;
  readonly rinkY: number;
}

const known = new WeakMap<LanePlacement, readonly RinkCandidate[]>();

/** The rink's markings in lane coordinates, metres; remembered per placement. */
export function rinkCandidates(placement: LanePlacement): readonly RinkCandidate[] {
  const there = known.get(placement);
  if (there) return there;
  const all = rinkByKey(placement.rink).points.map(({ label, description, x, y, u }) => {
    const lane = toLane({ x, y }, placement);
    return { label, description, x: mm(lane.x), y: mm(lane.y), u, rinkX: x, rinkY: y };
  });
  known.set(placement, all);
  return all;
}

/** A tenth of a millimetre: below anything a rink is painted to, and short in the file. */
function mm(metres: number): number {
  return Math.round(metres * 1e4) / 1e4;
}

function place({ label, x, y, u }: IceCandidate): IceCandidate {
  return u === undefined ? { label, x, y } : { label, x, y, u };
}
