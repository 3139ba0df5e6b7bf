import type { OrWhy } from "../reading.ts";
import { t975, twoSidedP } from "../statistics/distributions.ts";
import { mean, withoutRounding } from "../statistics/mean.ts";
import type { Estimate } from "./estimate.ts";
import { fitMixedModel, type MixedGroup } from "./mixedModel.ts";
import type { Placed } from "./orderEffect.ts";

/** Where the search may start: SDs between skaters, and of their response, in SDs of a trial. */
const STARTS = [0, 0.1, 0.2, 0.4, 0.7, 1, 1.5, 2, 3, 4.5, 7, 10, 20, 40, 100];

/** Clips' standard uncertainties no further apart are alike, seconds. */
const ALIKE = 0.002;

/** A skater's usable trials, one list a technique; a technique may be missing. */
export interface SkaterCells {
  readonly skater: string;
  readonly cells: readonly (readonly Placed[])[];
}

export interface TechniqueModel extends Estimate {
  readonly ci95: readonly [low: number, high: number];
  readonly standardError: number;
  /** Containment: cells - skaters - (techniques - 1), as a balanced design has them. */
  readonly df: number;
  readonly p: number;
  /** SD between skaters; of how differently skaters respond to the technique; between repeats. */
  readonly sdSkater: number;
  /** null without repeats: it cannot be told from `sdTrial` then. */
  readonly sdSkaterByTechnique: number | null;
  readonly sdTrial: number;
  readonly criterion: number;
}

/**
 * Mixed model of two techniques on every trial: value = technique (+ place in the day) + skater + skater by technique
 * + trial, by REML. It uses skaters with only one technique too, and weighs repeats as they deserve.
 *
 * @param skaters two lists a skater: trials of a, trials of b
 * @param withPlace takes a steady change from one own trial to the next out of the difference
 * @returns b minus a
 * @see Pinheiro & Bates (2000), Mixed-Effects Models in S and S-PLUS, section 2.4.2: degrees of freedom
 */
export function techniqueModel(skaters: readonly SkaterCells[], withPlace = false): OrWhy<TechniqueModel> {
  const used = skaters.filter((s) => s.cells.some((cell) => cell.length > 0));
  const both = used.filter((s) => s.cells.every((cell) => cell.length > 0)).length;
  if (both < 2) return none("The mixed model needs two skaters with both techniques.");
  const cells = used.flatMap((s) => s.cells.filter((cell) => cell.length > 0));
  const clocks = cells.flat().map(({ clipSd = 0 }) => clipSd);
  if (Math.max(...clocks) - Math.min(...clocks) > ALIKE)
    return none(
      "The mixed model takes every trial to be timed equally well; here clips time some, or see them unlike.",
    );
  const repeats = cells.some((cell) => cell.length > 1);
  const df = cells.length - used.length - 1;
  if (df < 1) return none("The mixed model needs two skaters with both techniques.");
  if (withPlace && !repeats) return none("Without repeats, order cannot be told from technique.");
  const places = cells.flat().map((t) => t.place);
  const centre = mean(places);
  if (repeats && repeatsAlike(cells, withPlace)) {
    return none(
      "The repeats are all exactly alike, so the mixed model has no scatter of trials to judge by. Time to more digits.",
    );
  }
  if (!repeats && differencesAlike(used))
    return none(
      "All skaters have exactly the same difference, so the mixed model has no scatter to judge by. Time to more digits.",
    );
  const groups = used.map((s) => groupOf(s, repeats, withPlace ? centre : null));
  // L of skater and skater-by-technique is diagonal; their SDs are |theta| times the trials' SD.
  const factor = (theta: readonly number[], q: number) => {
    const rows: number[][] = [];
    for (let i = 0; i < q; i++) {
      rows.push(new Array<number>(q).fill(0));
      rows[i]![i] = i === 0 ? theta[0]! : theta[1]!;
    }
    return rows;
  };
  const fit = fitMixedModel(groups, factor, repeats ? [STARTS, STARTS] : [STARTS]);
  if (!fit) return none("The trials leave no scatter that the mixed model could be judged by.");
  const value = fit.beta[1]!;
  const standardError = Math.sqrt(fit.covariance[1]![1]!);
  const reach = t975(df) * standardError;
  return {
    value,
    ci95: [value - reach, value + reach],
    standardError,
    df,
    p: twoSidedP(value / standardError, df),
    sdSkater: Math.abs(fit.theta[0]!) * fit.sigma,
    sdSkaterByTechnique: repeats ? Math.abs(fit.theta[1]!) * fit.sigma : null,
    sdTrial: fit.sigma,
    criterion: fit.criterion,
  };
}

/** Are trials of one cell alike, but for binary rounding and, where asked, one steady change for all? */
function repeatsAlike(cells: readonly (readonly Placed[])[], steady: boolean): boolean {
  const centred = cells.flatMap((cell) => {
    const [place, value] = [mean(cell.map((t) => t.place)), mean(cell.map((t) => t.value))];
    return cell.map((t) => ({ x: t.place - place, y: t.value - value }));
  });
  const xx = centred.reduce((sum, t) => sum + t.x * t.x, 0);
  const slope = steady && xx > 0 ? centred.reduce((sum, t) => sum + t.x * t.y, 0) / xx : 0;
  const size = Math.max(...cells.flat().map((t) => Math.abs(t.value)));
  return centred.every((t) => withoutRounding(t.y - slope * t.x, size) === 0);
}

/** Without repeats: is each skater's difference the same, but for binary rounding? Then a trial's SD comes out as rounding. */
function differencesAlike(skaters: readonly SkaterCells[]): boolean {
  const pairs = skaters.flatMap(({ cells: [a, b] }) => (a?.[0] && b?.[0] ? [[a[0].value, b[0].value]] : []));
  const differences = pairs.map(([a, b]) => b! - a!);
  const size = Math.max(...pairs.flat().map(Math.abs));
  return withoutRounding(Math.max(...differences) - Math.min(...differences), size) === 0;
}

function groupOf({ cells }: SkaterCells, repeats: boolean, centre: number | null): MixedGroup {
  const trials = cells.flatMap((cell, k) => cell.map((trial) => ({ ...trial, k })));
  return {
    y: trials.map((t) => t.value),
    x: trials.map((t) => [1, t.k, ...(centre === null ? [] : [t.place - centre])]),
    z: trials.map((t) => [1, ...(repeats ? cells.map((_, k) => (k === t.k ? 1 : 0)) : [])]),
  };
}

function none(why: string): { value: null; why: string } {
  return { value: null, why };
}
