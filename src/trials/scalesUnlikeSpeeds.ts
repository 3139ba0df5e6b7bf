import { lengthShare } from "../kinematics/warnings/scaleUnlikeSpeed.ts";
import type { Warning } from "../reading.ts";
import type { WholeStudy } from "../study/types.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import type { ReadingOf } from "./techniqueCheck.ts";
import { trialInput } from "./trialInput.ts";

/** What all sprints of an evening share beside the curves they are held against, as a share. [judgement] */
const SHARED = 0.012;
/** Told about one time in a hundred by chance; and no smaller share than this. */
const SURE = 2.58;
const LEAST = 0.03;
/** Fewer trials say no more together than each by itself. */
const ENOUGH = 4;

/**
 * The scale of all trials together against their times from gate to gate: a tape read in yards, or a few per cent long, is
 * within the doubt of one trial and not of all of them.
 */
export function scalesUnlikeSpeeds(whole: WholeStudy, readingOf: ReadingOf): Warning[] {
  const known = whole.study.trials.flatMap(({ id, valid }) => {
    const reading = valid ? readingOf(id) : null;
    // A trial may be measured by a further view alone: its own marks tell no time then.
    if (!reading?.ok || !whole.marks[id]?.picture) return [];
    const found = lengthShare(reading.value.strides, trialInput(whole, id).timed);
    return found ? [found] : [];
  });
  return together(known);
}

/** The same of what each trial tells. */
export function together(known: readonly { readonly share: number; readonly u: number }[]): Warning[] {
  if (known.length < ENOUGH) return [];
  const weight = known.reduce((sum, k) => sum + 1 / k.u ** 2, 0);
  const share = known.reduce((sum, k) => sum + k.share / k.u ** 2, 0) / weight - 1;
  const u = Math.hypot(1 / Math.sqrt(weight), SHARED);
  if (Math.abs(share) <= Math.max(SURE * u, LEAST)) return [];
  const percent = (of: number) => (100 * Math.abs(of)).toFixed(0);
  const what = share > 0 ? "long" : "short";
  return [
    {
      code: "scales-unlike-speeds",
      text: `In ${known.length} trials together the speed by where blades are is ${percent(share)} ± ${percent(K95 * u)} % too ${share > 0 ? "fast" : "slow"} for the times from gate to gate: distances along the lane probably come out that much too ${what} (yards taken for metres make them 9 % too long). Check the tape, the places of the ice points and where the gates stand.`,
    },
  ];
}
