import { countWord } from "../compare/numbers.ts";
import type { Warning } from "../reading.ts";
import { type Names, trialLabel } from "../study/labels.ts";
import type { Trial, WholeStudy } from "../study/types.ts";
import { farRecoveries } from "../trials/farRecoveries.ts";
import { formatNumber } from "../uncertainty/format.ts";
import { capital } from "../words.ts";

/** So many are named; who has more looks at each trial. */
const MOST_NAMED = 4;

/** Recovery times among the counted trials that are far from what there is to compare them with; see `farRecoveries`. */
export function recoveryWarnings(whole: WholeStudy, trials: readonly Trial[], names: Names): Warning[] {
  const far = trials.flatMap(({ id }) => farRecoveries(whole, id).map((f) => ({ id, ...f })));
  if (far.length === 0) return [];
  const named = far
    .slice(0, MOST_NAMED)
    .map(
      ({ id, stride, seconds }) =>
        `${trialLabel(whole.study, id, names)}, stride ${stride}: ${formatNumber(seconds, 3)} s`,
    );
  const more = far.length > MOST_NAMED ? `; and ${countWord(far.length - MOST_NAMED)} more` : "";
  const subject =
    far.length === 1 ? "One recovery time is" : `${capital(countWord(far.length))} recovery times are`;
  return [
    {
      code: "far-recovery",
      text: `${subject} far from the others (${named.join("; ")}${more}). Most often one of the two frames is a wrong one; look at them again.`,
    },
  ];
}
