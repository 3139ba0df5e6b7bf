import type { ClipLink, Study } from "../study/types.ts";

/** Another trial that has the same film, though one film shows one run; null = none. Clips are told apart by content. */
export function trialWithSameClip(study: Study, trialId: string): string | null {
  const own = study.trials.find((t) => t.id === trialId)?.clip;
  const link = study.clips.find((c) => c.id === own);
  if (!link) return null;
  const other = study.trials.find((t) => {
    const its = t.id !== trialId && study.clips.find((c) => c.id === t.clip);
    return its && sameFilm(link, its);
  });
  return other?.id ?? null;
}

/** Different parts of one long film may show different runs. */
function sameFilm(a: ClipLink, b: ClipLink): boolean {
  if (a.part && b.part && (a.part.last < b.part.first || b.part.last < a.part.first)) return false;
  return sameFile(a, b);
}

/** Whether two links are of one file, by its content where that is known. */
export function sameFile(a: ClipLink, b: ClipLink): boolean {
  if (a.id === b.id) return true;
  return a.sha256 !== undefined && b.sha256 !== undefined ? a.sha256 === b.sha256 : a.bytes === b.bytes;
}
