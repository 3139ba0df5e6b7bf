import type { TrialReadings } from "../kinematics/types.ts";
import type { Warning } from "../reading.ts";
import { median } from "../statistics/median.ts";
import type { WholeStudy } from "../study/types.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import type { ReadingOf } from "./techniqueCheck.ts";

/** Told about three times in a thousand by chance, as there are many trials. */
const SURE = 3;
/** Differences smaller than this share change no answer. */
const LEAST = 0.025;
/** So many other trials show what is usual. */
const ENOUGH = 2;
/** Cameras nearer to one another than this are taken for one that stood still, metres: a scale 10 % long moves it by less. [judgement] */
const ONE_PLACE = 3;
/** A skater's runner is marked a little otherwise from trial to trial, metres. [judgement] */
const MARKED_U = 0.003;

interface Known {
  readonly value: number;
  readonly u: number;
}

/**
 * A trial whose scale is unlike the other trials': the same skater's runner comes out longer or shorter, or the camera's
 * focal length is not that of the other clips filmed from the same place in pictures of the same size. In either case the
 * ice points of one of them are wrong, or the zoom was changed in between.
 */
export function unlikeScales(whole: WholeStudy, trialId: string, readingOf: ReadingOf): Warning[] {
  const { trials } = whole.study;
  const trial = trials.find((t) => t.id === trialId);
  const own = readingOf(trialId);
  if (!trial || !own.ok) return [];
  const others = trials.filter((t) => t !== trial && t.valid);
  const readings = (some: typeof trials) =>
    some.flatMap((t) => {
      const reading = readingOf(t.id);
      return reading.ok ? [reading.value] : [];
    });
  const size = (id: string) => {
    const picture = whole.marks[id]?.picture;
    return picture ? `${picture.width}x${picture.height}` : null;
  };
  const sameSize = others.filter((t) => size(t.id) !== null && size(t.id) === size(trialId));
  const warnings: Warning[] = [];
  const runner = apart(
    runnerOf(own.value),
    readings(others.filter((t) => t.skater === trial.skater)),
    runnerOf,
  );
  if (runner) {
    const cm = (metres: number) => `${(100 * metres).toFixed(1)} cm`;
    warnings.push({
      code: "runner-unlike-other-trials",
      text: `The runner comes out ${cm(runner.own)} long on the ice, and ${cm(runner.usual)} in this skater's other trials: ${percent(runner)}. Check the places of the ice points of this trial, or whether they wore other skates.`,
    });
  }
  const focal = apart(
    focalOf(own.value),
    readings(sameSize).filter((other) => isOnePlace(own.value, other)),
    focalOf,
  );
  if (focal)
    warnings.push({
      code: "focal-unlike-other-trials",
      text: `By its ice points this clip's camera has a focal length of ${focal.own.toFixed(0)} px, and ${focal.usual.toFixed(0)} px in the other clips from there: ${percent(focal)}. If the zoom was not changed, check the places of the ice points: along the lane or across it they would be off by about as much.`,
    });
  return warnings;
}

function percent({ own, usual }: { readonly own: number; readonly usual: number }): string {
  const share = 100 * (own / usual - 1);
  return `${Math.abs(share).toFixed(0)} % ${share > 0 ? "more" : "less"}`;
}

/** Where a trial's own figure lies apart from the median of the others', beyond what all are known to. */
function apart(
  own: Known | null,
  others: readonly TrialReadings[],
  of: (readings: TrialReadings) => Known | null,
): { readonly own: number; readonly usual: number } | null {
  const known = others.map(of).filter((k): k is Known => k !== null);
  if (!own || known.length < ENOUGH) return null;
  const usual = median(known.map((k) => k.value));
  // The median of n is about 1.25 times as unsure as their mean; of many of which one in ten is wrong it stays.
  const u = (1.25 * median(known.map((k) => k.u))) / Math.sqrt(known.length);
  const off = Math.abs(own.value - usual);
  return off > SURE * Math.hypot(own.u, u) && off > LEAST * usual ? { own: own.value, usual } : null;
}

function runnerOf({ runner }: TrialReadings): Known | null {
  return runner.value === null ? null : { value: runner.value, u: Math.hypot(runner.u95 / K95, MARKED_U) };
}

function isOnePlace(a: TrialReadings, b: TrialReadings): boolean {
  const [one, other] = [a.scale?.camera, b.scale?.camera];
  return !!one && !!other && Math.hypot(one.x - other.x, one.y - other.y) < ONE_PLACE;
}

function focalOf({ scale }: TrialReadings): Known | null {
  const camera = scale?.camera;
  return camera ? { value: camera.focalPx, u: camera.u95FocalPx / K95 } : null;
}
