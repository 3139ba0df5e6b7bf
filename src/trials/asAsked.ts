import type { TrialMean, TrialReadings } from "../kinematics/types.ts";
import type { Band, Technique } from "../study/types.ts";
import { bandFault } from "./bandFault.ts";

export type AsAskedAnswer = "yes" | "no" | "can't tell";

export interface BandAnswer {
  readonly band: Band;
  readonly answer: AsAskedAnswer;
  /** The trial's mean it rests on. */
  readonly mean: TrialMean;
  readonly why: string;
}

export interface AsAsked {
  readonly answer: AsAskedAnswer;
  /** One sentence for the coach. */
  readonly why: string;
  readonly bands: readonly BandAnswer[];
}

/**
 * Whether a trial shows the technique it was meant to show. Its mean's 95 % interval decides: wholly inside a
 * band is yes, wholly outside is no, straddling an edge is can't tell, and so is a band that asks for nothing. One "no"
 * is enough for no; yes needs all.
 *
 * @param trial the trial's means, as measured
 */
export function asAsked(technique: Technique, trial: TrialReadings["trial"]): AsAsked {
  if (technique.asked.length === 0) {
    return { answer: "can't tell", why: `Plan says no band for ${technique.name}.`, bands: [] };
  }
  const bands = technique.asked.map((band) => judge(band, trial));
  const no = bands.find((b) => b.answer === "no");
  const open = bands.find((b) => b.answer === "can't tell");
  const deciding = no ?? open ?? bands[0]!;
  return { answer: deciding.answer, why: deciding.why, bands };
}

function judge(band: Band, trial: TrialReadings["trial"]): BandAnswer {
  const quantity = band.quantity as keyof TrialReadings["trial"];
  const [min, max] = [band.min ?? Number.NEGATIVE_INFINITY, band.max ?? Number.POSITIVE_INFINITY];
  const fault = bandFault(band);
  if (fault !== null) {
    const mean = trial[quantity] ?? { value: null, why: fault };
    return { band, answer: "can't tell", mean, why: fault };
  }
  const mean = trial[quantity];
  if ("why" in mean) return { band, answer: "can't tell", mean, why: mean.why };
  const [low, high] = [mean.mean - mean.u95, mean.mean + mean.u95];
  if (low >= min && high <= max)
    return { band, answer: "yes", mean, why: "The whole interval lies in the band." };
  if (high < min || low > max)
    return { band, answer: "no", mean, why: "The whole interval lies outside the band." };
  return { band, answer: "can't tell", mean, why: "The interval reaches over an edge of the band." };
}
