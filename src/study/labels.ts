import { trialOfView, viewsOf } from "./trialViews.ts";
import type { Study, WholeStudy } from "./types.ts";

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

/** Parts of names that are nobody's. */
const PARTICLES = new Set(
  "af al av da de del den der di do dos du el la le of ten ter van von zu".split(" "),
);

const NAME_PART = /^[\p{L}\p{M}'’]{2,}$/u;

/**
 * The name, and its parts: people are called by one of them. What holds a digit ("Skater 2") is whole or nothing. Letters
 * composed, as `typedText` compares.
 */
function calledBy(name: string): string[] {
  const whole = name.normalize("NFC").trim();
  if (/\p{N}/u.test(whole)) return [whole];
  const parts = whole
    .split(/[\s\-‐‑]+/u)
    .filter((part) => NAME_PART.test(part) && !PARTICLES.has(part.toLowerCase()));
  return whole === "" ? [] : [...new Set([whole, ...parts])];
}

/** These words, none of them as a part of another one. */
const inWords = (...words: string[]) =>
  new RegExp(
    `(?<![\\p{L}\\p{M}\\p{N}])(?:${words.map((w) => w.replace(/[\\^$.*+?()[\]{}|]/g, "\\$&")).join("|")})(?![\\p{L}\\p{M}\\p{N}])`,
    "giu",
  );

/** Finds a name in text, whole or by a part of it; null of no name. */
export function partsOfNames(name: string): RegExp | null {
  const words = calledBy(name);
  return words.length === 0 ? null : new RegExp(inWords(...words).source, "iu");
}

/** Text that people typed, each skater's name in it, or a part of one, replaced by the code where codes are asked for. */
export function typedText(study: Study, text: string, names: Names): string {
  if (names === "names") return text;
  const codes = skaterLabels(study, "codes");
  const code = new Map<string, string>();
  const called = study.skaters.map(({ id, name }) => ({ words: calledBy(name), of: codes.get(id) ?? "" }));
  // "Anna" is who is called no more than that, before she is a part of another's name.
  const wholes = called.flatMap(({ words: [word], of }) => (word === undefined ? [] : [{ word, of }]));
  const parts = called.flatMap(({ words, of }) => words.slice(1).map((word) => ({ word, of })));
  for (const { word, of } of [...wholes, ...parts])
    if (!code.has(word.toLowerCase())) code.set(word.toLowerCase(), of);
  if (code.size === 0) return text;
  // Longer ones first, or "Anna Berg" would become the code of another Anna, and "Berg".
  const words = [...code.keys()].sort((x, y) => y.length - x.length);
  return text.normalize("NFC").replace(inWords(...words), (word) => code.get(word.toLowerCase()) ?? "");
}

/** Skaters whose code is, or holds, somebody's name: under codes they would be named all the same. */
export function namedByCode(study: Study): Study["skaters"] {
  // What holds a digit is a code that somebody typed as a name.
  const names = study.skaters.flatMap((s) => calledBy(s.name)).filter((name) => !/\p{N}/u.test(name));
  return study.skaters.filter(({ code }) => names.some((name) => inWords(name).test(code.normalize("NFC"))));
}

/** The study as it may be shown: under codes no skater's name is left in its question and in what techniques are called. */
export function shownStudy(whole: WholeStudy, names: Names): WholeStudy {
  if (names === "names") return whole;
  const { study } = whole;
  const typed = (words: string) => typedText(study, words, names);
  const techniques = study.techniques.map((t) => ({ ...t, name: typed(t.name) }));
  return { ...whole, study: { ...study, question: typed(study.question), techniques } };
}

/** What each technique is called, by id; no two alike. */
export function techniqueLabels(study: Study): ReadonlyMap<string, string> {
  return labels(study.techniques.map((t) => ({ id: t.id, text: t.name || t.id, apart: t.id })));
}

/** "Wren, close recovery, trial 1"; of a further view "…, view 2". */
export function trialLabel(study: Study, trialId: string, names: Names = "names"): string {
  const trial = trialOfView(study, trialId);
  if (!trial) return trialId;
  const view = viewsOf(trial).findIndex(({ id }) => id === trialId);
  const skater = skaterLabels(study, names).get(trial.skater) ?? trial.skater;
  const technique = typedText(study, techniqueLabels(study).get(trial.technique) ?? trial.technique, names);
  return `${skater}, ${technique}, trial ${trial.repeat}${view > 0 ? `, view ${view + 1}` : ""}`;
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
