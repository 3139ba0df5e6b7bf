import type { Study } from "./types.ts";

export type Names = "names" | "codes";

/** What each skater is called on screen and on paper, by id; no two alike. Under codes neither name nor id is shown. */
export function skaterLabels(study: Study, names: Names): ReadonlyMap<string, string> {
  return labels(
    study.skaters.map((s, k) => {
      const code = s.code || `Skater ${k + 1}`;
      return { id: s.id, text: (names === "codes" ? code : s.name) || code, apart: `${k + 1}` };
    }),
  );
}

/** Text that people typed, each skater's name in it replaced by the code where codes are asked for. */
export function typedText(study: Study, text: string, names: Names): string {
  if (names === "names") return text;
  const codes = skaterLabels(study, "codes");
  return study.skaters.reduce((shown, { id, name }) => {
    if (name === "") return shown;
    const whole = new RegExp(
      `(?<![\\p{L}\\p{N}])${name.replace(/[\\^$.*+?()[\]{}|]/g, "\\$&")}(?![\\p{L}\\p{N}])`,
      "giu",
    );
    return shown.replace(whole, () => codes.get(id) ?? "");
  }, text);
}

/** What each technique is called, by id; no two alike. */
export function techniqueLabels(study: Study): ReadonlyMap<string, string> {
  return labels(study.techniques.map((t) => ({ id: t.id, text: t.name || t.id, apart: t.id })));
}

/** "Wren, close recovery, trial 1" */
export function trialLabel(study: Study, trialId: string, names: Names = "names"): string {
  const trial = study.trials.find((t) => t.id === trialId);
  if (!trial) return trialId;
  const skater = skaterLabels(study, names).get(trial.skater) ?? trial.skater;
  const technique = techniqueLabels(study).get(trial.technique) ?? trial.technique;
  return `${skater}, ${technique}, trial ${trial.repeat}`;
}

/** `apart` tells two with the same text from each other. */
function labels(
  items: readonly { readonly id: string; readonly text: string; readonly apart: string }[],
): Map<string, string> {
  const often = new Map<string, number>();
  for (const { text } of items) often.set(text, (often.get(text) ?? 0) + 1);
  return new Map(
    items.map(({ id, text, apart }) => [id, often.get(text)! > 1 ? `${text} (${apart})` : text]),
  );
}
