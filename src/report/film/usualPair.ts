import type { Trial, WholeStudy } from "../../study/types.ts";
import { sharedMoments } from "./moment.ts";

/** Trials whose clip can be shown: it is there, and something is marked on it. */
export function filmableTrials(whole: WholeStudy): Trial[] {
  return whole.study.trials.filter(({ id }) => whyNotFilmable(whole, id) === null);
}

/** Why a trial's clip can't be shown: "no clip", "no event marked"; null where it can. */
export function whyNotFilmable({ study, marks }: WholeStudy, id: string): string | null {
  if (study.trials.find((t) => t.id === id)?.clip === undefined) return "no clip";
  const own = marks[id];
  return own?.picture && sharedMoments([own], study.lane).length > 0 ? null : "no event marked";
}

/**
 * A skater's two techniques, the same repeat of both if there is one. Null where there are no such clips.
 *
 * @param a id of the technique shown on the left
 */
export function pairOfSkater(
  whole: WholeStudy,
  skater: string,
  a: string,
  b: string,
): readonly [string, string] | null {
  const able = filmableTrials(whole).filter((t) => t.skater === skater);
  const pairs = able
    .filter((t) => t.technique === a)
    .flatMap((one) => able.filter((t) => t.technique === b).map((other) => [one, other] as const));
  const best = pairs.find(([one, other]) => one.repeat === other.repeat) ?? pairs[0];
  return best ? [best[0].id, best[1].id] : null;
}

/** The first skater's that has one. */
export function usualPair(whole: WholeStudy, a: string, b: string): readonly [string, string] | null {
  const pairs = whole.study.skaters.map(({ id }) => pairOfSkater(whole, id, a, b));
  return pairs.find((pair) => pair !== null) ?? null;
}
