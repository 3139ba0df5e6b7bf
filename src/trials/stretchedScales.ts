import type { Warning } from "../reading.ts";
import type { WholeStudy } from "../study/types.ts";
import { K95 } from "../uncertainty/uncertain.ts";
import type { ReadingOf } from "./techniqueCheck.ts";

/** Of a runner measured with a ruler and of where its ends are marked, as a share: once a skater, however many trials. [judgement: 5 mm of 28 cm] */
const RULER_U = 0.018;
/** Told about one time in a hundred by chance. */
const SURE = 2.58;

/**
 * Runners of all trials together against their typed lengths: one trial tells a stretched scale only where it is far off;
 * places taped or typed wrongly once are wrong in every trial.
 */
export function stretchedScales(whole: WholeStudy, readingOf: ReadingOf): Warning[] {
  const { skaters, trials } = whole.study;
  let [trialCount, skaterCount] = [0, 0];
  const each = skaters.flatMap(({ id, body: { blade } }) => {
    if (blade === undefined) return [];
    const known = trials.flatMap((t) => {
      const reading = t.valid && t.skater === id ? readingOf(t.id) : null;
      if (!reading?.ok || reading.value.runner.value === null) return [];
      const { value, u95 } = reading.value.runner;
      return [{ share: value / blade - 1, u: u95 / K95 / blade }];
    });
    if (known.length === 0) return [];
    trialCount += known.length;
    skaterCount++;
    const { mean, u } = weighed(known);
    return [{ share: mean, u: Math.hypot(u, RULER_U) }];
  });
  if (trialCount < 2) return [];
  const { mean, u } = weighed(each);
  if (Math.abs(mean) <= SURE * u) return [];
  const percent = (share: number) => (100 * Math.abs(share)).toFixed(1);
  return [
    {
      code: "runners-unlike-blades",
      text: `In ${trialCount} trials of ${skaterCount} ${skaterCount === 1 ? "skater" : "skaters"} the runner comes out ${percent(mean)} ± ${percent(K95 * u)} % ${mean > 0 ? "longer" : "shorter"} than typed. If the blades were measured well, all distances are that much too ${mean > 0 ? "long" : "short"} (yards taken for metres make them 9 % too long). Check the tape and the places of the ice points.`,
    },
  ];
}

/** Mean weighed by how well each is known. */
function weighed(known: readonly { readonly share: number; readonly u: number }[]) {
  const weight = known.reduce((sum, k) => sum + 1 / k.u ** 2, 0);
  return { mean: known.reduce((sum, k) => sum + k.share / k.u ** 2, 0) / weight, u: 1 / Math.sqrt(weight) };
}
