import type { Study } from "./types.ts";

export type Names = "names" | "codes";

/** What each skater is called on screen and on paper, by id; no two alike. */
export function skaterLabels(study: Study, names: Names): ReadonlyMap<string, string> {
  return labels(
    study.skaters.map((s) => ({ id: s.id, text: (names === "codes" ? s.code : s.name) || s.code || s.id })),
  );
}

/** What each technique is called, by id; no two alike. */
export function techniqueLabels(study: Study): ReadonlyMap<string, string> {
  return labels(study.techniques.map((t) => ({ id: t.id, text: t.name || t.id })));
}

/** "Wren, close recovery, trial 1" */
export function trialLabel(study: Study, trialId: string, names: Names = "names"): string {
  const trial = study.trials.find((t) => t.id === trialId);
  if (!trial) return trialId;
  const skater = skaterLabels(study, names).get(trial.skater) ?? trial.skater;
  const technique = techniqueLabels(study).get(trial.technique) ?? trial.technique;
  return `${skater}, ${technique}, trial ${trial.repeat}`;
}

function labels(items: readonly { readonly id: string; readonly text: string }[]): Map<string, string> {
  const often = new Map<string, number>();
  for (const { text } of items) often.set(text, (often.get(text) ?? 0) + 1);
  return new Map(items.map(({ id, text }) => [id, often.get(text)! > 1 ? `${text} (${id})` : text]));
}
