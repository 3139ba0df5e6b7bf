import type { Study, WholeStudy } from "../../src/study/types.ts";

/** The study with some parts replaced; the same object when they say the same, so that nothing is recorded. */
export function withStudy(whole: WholeStudy, change: Partial<Study>): WholeStudy {
  const keys = Object.keys(change) as (keyof Study)[];
  const changes = keys.some((key) => JSON.stringify(whole.study[key]) !== JSON.stringify(change[key]));
  return changes ? { ...whole, study: { ...whole.study, ...change } } : whole;
}

/** The list with the item of that id changed. */
export function changed<T extends { readonly id: string }>(
  list: readonly T[],
  id: string,
  change: (item: T) => T,
): readonly T[] {
  return list.map((item) => (item.id === id ? change(item) : item));
}

/** True when a trial holds something a person did after planning: a time, a clip, marks. */
export function hasData(
  whole: WholeStudy,
  trial: { readonly id: string; readonly time: number | null; readonly clip?: string },
): boolean {
  return trial.time !== null || trial.clip !== undefined || (whole.marks[trial.id]?.picture ?? null) !== null;
}
