import { type Names, skaterLabels } from "../../study/labels.ts";
import type { Study } from "../../study/types.ts";

/**
 * What each trial is called in the tables, by id. Ids are made of names, so under codes a key is made of the
 * skater's code, the technique's place in the study and the repeat.
 */
export function trialKeys(study: Study, names: Names): ReadonlyMap<string, string> {
  if (names === "names") return new Map(study.trials.map((t) => [t.id, t.id]));
  const skaters = skaterLabels(study, "codes");
  const seen = new Map<string, number>();
  return new Map(
    study.trials.map((trial) => {
      const technique = study.techniques.findIndex((t) => t.id === trial.technique) + 1;
      const skater = (skaters.get(trial.skater) ?? "unknown").replace(/[^\p{L}\p{N}]+/gu, "-");
      const key = `${skater}-technique-${technique}-${trial.repeat}`;
      const before = seen.get(key) ?? 0;
      seen.set(key, before + 1);
      return [trial.id, before === 0 ? key : `${key}-${before + 1}`];
    }),
  );
}
