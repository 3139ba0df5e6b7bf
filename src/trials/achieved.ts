import { countWord, plusMinus } from "../compare/numbers.ts";
import type { Comparison } from "../compare/types.ts";
import { QUANTITY_WORDS } from "../quantities/compared.ts";
import type { OrWhy } from "../reading.ts";
import { formatNumber, withUnit } from "../uncertainty/format.ts";
import type { TechniqueCheck } from "./techniqueCheck.ts";

/** How much of the difference that the bands ask for was skated. */
export interface Achieved {
  /** Share of `asked`: 1 = exactly the least that was asked, 0 = none, negative = the wrong way. */
  readonly value: number;
  readonly ci95: OrWhy<{ readonly value: readonly [low: number, high: number] }>;
  /** Least difference the bands leave between the techniques, b minus a, in the quantity's unit. */
  readonly asked: number;
  /** Skated, b minus a, skater means. */
  readonly skated: number;
  /** Skaters whose own means differ by less than was asked. */
  readonly short: readonly string[];
  /** One or two sentences. */
  readonly words: readonly string[];
}

/**
 * Did the trials of one technique really differ from the other's? The gap between the two bands is the least
 * difference that was asked for; the skaters' measured difference is held against it.
 *
 * @param skated comparison of the check's quantity
 */
export function achieved(check: TechniqueCheck, skated: Comparison): OrWhy<Achieved> {
  const { name, unit } = QUANTITY_WORDS[check.quantity];
  const asked = askedDifference(check);
  if (asked === null) {
    const { a, b } = check;
    const lacking = [a, b].filter(({ band }) => !band).map(({ technique }) => technique.name);
    if (lacking.length > 0) {
      const which =
        lacking.length === 2 ? `Neither ${lacking[0]} nor ${lacking[1]} has` : `${lacking[0]} has`;
      const not = lacking.length === 2 ? "" : " no";
      return {
        value: null,
        why: `${which}${not || " a"} band of what was asked, so how far apart the techniques should be is not said.`,
      };
    }
    return {
      value: null,
      why: `The bands of ${check.a.technique.name} and ${check.b.technique.name} in ${name} leave no gap between them, so no difference was asked for.`,
    };
  }
  const mean = skated.meanDifference;
  if (mean.value === null)
    return { value: null, why: `No skater has ${name} measured with both techniques.` };
  const gap = withUnit(formatNumber(Math.abs(asked), unit === "°" ? 0 : 2), unit);
  const short = skated.pairs.filter((p) => p.difference / asked < 1).map((p) => p.skater);
  const { general } = skated;
  const ends =
    general.value === null
      ? null
      : [general.value - general.u95, general.value + general.u95]
          .map((end) => end / asked)
          .sort((x, y) => x - y);
  const ci95: Achieved["ci95"] = ends
    ? { value: [ends[0]!, ends[1]!] }
    : { value: null, why: general.value === null ? general.why : "" };
  const size = Math.abs(mean.value);
  const apart =
    general.value === null
      ? withUnit(formatNumber(size, unit === "°" ? 0 : 2), unit)
      : plusMinus(size, general.u95, unit);
  const way = mean.value / asked < 0 ? ", the wrong way" : "";
  const who = `${countWord(skated.n)} ${skated.n === 1 ? "skater" : "skaters"}`;
  return {
    value: mean.value / asked,
    ci95,
    asked,
    skated: mean.value,
    short,
    words: [
      `The techniques were asked to differ by at least ${gap} in ${name}; they differed by ${apart}${way} (${who})${verdict(mean.value / asked, ends)}.`,
      ...(short.length > 0 && short.length < skated.n
        ? [`Less than was asked for: ${short.join(", ")}.`]
        : []),
    ],
  };
}

/** Of what went the wrong way no share is told. */
function verdict(share: number, ends: readonly number[] | null): string {
  const percent = share < 0 ? "" : `, ${formatNumber(100 * share, 0)} % of it`;
  if (ends === null) return share >= 1 ? ", no less than was asked" : percent;
  if (ends[0]! >= 1) return ", in the mean all that was asked";
  if (ends[1]! < 1) return share < 0 ? "" : `${percent}, less than was asked`;
  return share >= 1
    ? ", more than was asked, but the interval reaches below it"
    : `${percent}, though the interval reaches up to all of it`;
}

/** Gap between the nearest edges of both bands, signed b minus a; null where they meet or one is open that way. */
function askedDifference({ a, b }: TechniqueCheck): number | null {
  if (!a.band || !b.band) return null;
  if (b.band.min !== undefined && a.band.max !== undefined && b.band.min > a.band.max) {
    return b.band.min - a.band.max;
  }
  if (a.band.min !== undefined && b.band.max !== undefined && a.band.min > b.band.max) {
    return b.band.max - a.band.min;
  }
  return null;
}
