import { techniqueModel } from "../../src/compare/techniqueModel.ts";
import { normal, seeded } from "../helpers/random.ts";

export interface Design {
  readonly skaters: number;
  readonly techniques: number;
  /** Trials of skater s with technique t. */
  readonly repeats: (s: number, t: number) => number;
  /** SDs: between skaters, of a skater's own response for a technique, of one trial; seconds. */
  readonly sd: { readonly skater: number; readonly response: number; readonly trial: number };
}

export const SD = { skater: 0.18, response: 0.03, trial: 0.03 };

/** Times of a study in which the techniques make no difference: by skater, technique, repeat. */
export function study({ skaters, techniques, repeats, sd }: Design, random: () => number): number[][][] {
  return Array.from({ length: skaters }, (_, s) => {
    const level = 4.7 + sd.skater * normal(random);
    return Array.from({ length: techniques }, (_, t) => {
      const cell = level + sd.response * normal(random);
      return Array.from({ length: repeats(s, t) }, () => cell + sd.trial * normal(random));
    });
  });
}

export const leavesOut0 = ([low, high]: readonly [number, number]) => low > 0 || high < 0;

/** Share of so many studies with holes in their design in which the mixed model's interval misses 0, %: 5 is honest. */
export function modelMisses(studies: number, seed: number): number {
  const random = seeded(seed);
  const design = {
    ...{ skaters: 8, techniques: 2, sd: SD },
    repeats: (s: number, t: number) => 1 + ((s + 2 * t) % 3),
  };
  let count = 0;
  for (let i = 0; i < studies; i++) {
    const model = techniqueModel(
      study(design, random).map((own, s) => ({
        skater: `${s}`,
        cells: own.map((cell) => cell.map((value, place) => ({ place, value }))),
      })),
    );
    if (model.value === null) throw new Error(model.why);
    if (leavesOut0(model.ci95)) count++;
  }
  return (100 * count) / studies;
}
