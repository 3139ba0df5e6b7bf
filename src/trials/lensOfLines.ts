import type { LearnedLens } from "../ice/camera/learnedLens.ts";
import { type LinesTold, lensByLines } from "../ice/lines/lensByLines.ts";
import type { CameraSetup, Picture, StraightLine, WholeStudy } from "../study/types.ts";

interface Known {
  readonly parts: readonly unknown[];
  readonly told: LinesTold;
  readonly lens: LearnedLens | null;
}

/** By the first list of lines: what all of them came to last. */
const known = new WeakMap<readonly StraightLine[], Known>();

/** What the straight lines pressed on a trial's clip, and on the other clips of its camera set-up, tell of their lens; null where there are none. */
export function linesTold(
  { study, marks }: Pick<WholeStudy, "study" | "marks">,
  trial: string,
  setup: CameraSetup | null,
): Known | null {
  const picture = marks[trial]?.picture;
  if (!picture) return null;
  const others = setup ? setup.trials.map((t) => t.trial).filter((t) => t !== trial) : [];
  const lists = [trial, ...others].flatMap((id) => {
    const { picture: its, straightLines = [] } = marks[id] ?? {};
    return straightLines.length > 0 && isSameSize(its, picture) ? [straightLines] : [];
  });
  const [first] = lists;
  if (!first) return null;
  const parts = [...lists, study.markSdPx, picture.width, picture.height];
  const last = known.get(first);
  if (last && last.parts.length === parts.length && last.parts.every((part, k) => part === parts[k]))
    return last;
  const told = lensByLines(lists.flat(), picture, study.markSdPx);
  const made = { parts, told, lens: learnedOf(told) };
  known.set(first, made);
  return made;
}

function isSameSize(its: Picture | null | undefined, picture: Picture): boolean {
  return !!its && its.width === picture.width && its.height === picture.height;
}

/** As a scale is fitted through; null where the lines don't tell it. */
export function learnedOf({ lens }: LinesTold): LearnedLens | null {
  if (!("k1" in lens)) return null;
  const { k1, k2, sdK1, focalPx, lines } = lens;
  return { k1, k2, sdK1, focalPx, uFocal: Number.POSITIVE_INFINITY, from: "straight lines", byLines: lines };
}
