import type { Trial, WholeStudy } from "../../study/types.ts";
import { sharedMoments } from "./moment.ts";

/** Trials whose clip can be shown: it is there, and something is marked on it. */
export function filmableTrials({ study, marks }: WholeStudy): Trial[] {
  return study.trials.filter(
    (t) =>
      t.clip !== undefined && marks[t.id]?.picture && sharedMoments([marks[t.id]!], study.lane).length > 0,
  );
}

/**
 * Two trials to show side by side first: one skater's two techniques, the same repeat of both if there is one. Null
 * where no skater has both.
 *
 * @param like a trial that should be one of the two, if possible
 */
export function usualPair(
  whole: WholeStudy,
  a: string,
  b: string,
  like: string | null = null,
): readonly [string, string] | null {
  const able = filmableTrials(whole);
  const pairs = able.flatMap((one) =>
    able.flatMap((other) =>
      one.technique === a && other.technique === b && one.skater === other.skater
        ? [[one, other] as const]
        : [],
    ),
  );
  const lacking = ([one, other]: readonly [Trial, Trial]) =>
    (one.id === like || other.id === like || like === null ? 0 : 2) + (one.repeat === other.repeat ? 0 : 1);
  const best = pairs.reduce<readonly [Trial, Trial] | null>(
    (first, pair) => (first === null || lacking(pair) < lacking(first) ? pair : first),
    null,
  );
  return best && [best[0].id, best[1].id];
}
