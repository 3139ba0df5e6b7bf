import { BLOCK } from "../../uncertainty/monteCarlo.ts";
import type { SeeingCamera } from "./ground.ts";

type ByDeviations = (deviations: readonly number[]) => SeeingCamera;

/**
 * The same, with the last cameras remembered. Drawing errors works out one mark after the other for the same block of draws, so
 * the same cameras are asked for in the same order, and each is made once a block.
 */
export function rememberedInTurn(make: ByDeviations): ByDeviations {
  const kept: { readonly deviations: readonly number[]; readonly seen: SeeingCamera }[] = [];
  let next = 0;
  return (deviations) => {
    for (const at of [next, 0]) {
      const known = kept[at];
      if (!known || !areSame(known.deviations, deviations)) continue;
      next = at + 1;
      return known.seen;
    }
    if (next === BLOCK) next = 0;
    const seen = make(deviations);
    kept[next++] = { deviations: deviations.slice(), seen };
    return seen;
  };
}

function areSame(a: readonly number[], b: readonly number[]): boolean {
  if (a.length !== b.length) return false;
  for (let k = 0; k < a.length; k++) if (a[k] !== b[k]) return false;
  return true;
}
