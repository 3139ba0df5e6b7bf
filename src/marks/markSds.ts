import type { IceReference, Mark, PointName } from "../study/types.ts";
import { iceRepeats } from "./iceRepeats.ts";
import { type MarkingSd, markingSd } from "./markingSd.ts";

/** What is marked alike: the sharp ends of a runner, a hip under clothing, the arms' joints, a point of the ice. */
export type MarkKind = "blades" | "hips" | "arms" | "icePoints";

/**
 * SD of a hip's mark per coordinate where nobody has marked hips again, px; a stated SD that is larger goes before it.
 * [no source: clothing hides the joint, and its own movement under skin is 2 cm or more (Fiorentino et al. 2016, Annals of
 * Biomedical Engineering 44, DOI 10.1007/s10439-015-1522-1, of markers on skin). 5 px are 3 to 6 cm at 10 to 20 m by an
 * ordinary lens: wide on purpose.]
 */
export const HIP_SD_PX = 5;

/** How well points of a kind repeat, of marks of points marked more than once; null with fewer than ten of the kind. */
export interface Repeats {
  /** All kinds together: null with fewer than ten points in all. */
  readonly all: MarkingSd | null;
  readonly blades: MarkingSd | null;
  readonly hips: MarkingSd | null;
  readonly arms: MarkingSd | null;
  /** Of points of the ice pressed again; see `iceRepeats`. */
  readonly icePoints: MarkingSd | null;
}

/** SD of one mark per coordinate that is reckoned with, px, where a mark has none of its own. */
export interface ReckonedSd {
  readonly sdPx: number;
  /**
   * `trial`: from how unevenly the trial's own marks of this kind lie; `default`: nothing tells, and it was not stated for
   * this kind.
   */
  readonly from: "repeat-marks" | "trial" | "stated" | "default";
  /** What repeat marks say of this kind, used or not. */
  readonly repeats: MarkingSd | null;
}

export type MarkSds = Readonly<Record<MarkKind, ReckonedSd>>;

export function kindOf(point: PointName): MarkKind {
  if (point === "hip") return "hips";
  return point === "blade_heel" || point === "blade_toe" ? "blades" : "arms";
}

/**
 * @param clips the marks of each trial; points of different trials are different points
 * @param references the ice reference of each trial
 */
export function repeatsOf(
  clips: readonly (readonly Mark[])[],
  references: readonly (IceReference | null | undefined)[] = [],
): Repeats {
  // A suggestion accepted is no mark of a hand's, so it tells nothing of how well hands repeat.
  const byHand = clips.map((marks) =>
    marks.some((m) => m.from === "accepted") ? marks.filter((m) => m.from !== "accepted") : marks,
  );
  const of = (kind: MarkKind) =>
    markingSd(byHand.map((marks) => marks.filter((m) => kindOf(m.point) === kind)));
  return {
    all: markingSd(byHand),
    blades: of("blades"),
    hips: of("hips"),
    arms: of("arms"),
    icePoints: iceRepeats(references),
  };
}

/**
 * The one rule by which a trial's marks are weighed, for readings and for the scale, in the window and on the command line.
 *
 * Blades, arms: what their own repeats say, else what all repeats say, else what was stated; a stated SD that is known
 * rules. Ice points: what those pressed again on later frames say, else as blades, by the same hand on edges as sharp. Hips: what their own repeats say,
 * whatever was stated, for that is said of points one can see; else what the trial's own hips tell (`hipScatter`), but no
 * better than blades; else a wide default.
 *
 * @param statedPx SD of one mark per coordinate, px
 * @param isKnown whether it goes before what repeat marks say
 * @param hipsOfTrial `hipScatter` of the trial in question; null = too few hips to tell
 */
export function reckonedSds(
  repeats: Repeats | null,
  statedPx: number,
  isKnown: boolean,
  hipsOfTrial: number | null = null,
): MarkSds {
  const seen = (own: MarkingSd | null | undefined): ReckonedSd => {
    const found = own ?? repeats?.all ?? null;
    if (found && !isKnown) return { sdPx: found.usedPx, from: "repeat-marks", repeats: found };
    return { sdPx: statedPx, from: "stated", repeats: found };
  };
  const blades = seen(repeats?.blades);
  const icePoints = repeats?.icePoints ?? null;
  const hips = repeats?.hips ?? null;
  return {
    blades,
    hips: hips
      ? { sdPx: hips.usedPx, from: "repeat-marks", repeats: hips }
      : hipsUnrepeated(blades, hipsOfTrial),
    arms: seen(repeats?.arms),
    icePoints:
      icePoints && !isKnown
        ? { sdPx: icePoints.usedPx, from: "repeat-marks", repeats: icePoints }
        : { ...blades, repeats: icePoints },
  };
}

/** In steps, so that a mark that is moved a little does not change the weight of all. */
const STEP_PX = 0.25;

function hipsUnrepeated({ sdPx, from }: ReckonedSd, ofTrial: number | null): ReckonedSd {
  if (ofTrial !== null) {
    const own = STEP_PX * Math.ceil(ofTrial / STEP_PX);
    return { sdPx: Math.max(own, sdPx), from: "trial", repeats: null };
  }
  // Whoever marks blades worse than that marks hips no better, and nobody has said how well.
  if (sdPx > HIP_SD_PX) return { sdPx, from: from === "stated" ? from : "default", repeats: null };
  return { sdPx: HIP_SD_PX, from: "default", repeats: null };
}
