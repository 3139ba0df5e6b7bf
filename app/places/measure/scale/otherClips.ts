import type { Backgrounds } from "../../../../src/study/exchange.ts";
import { trialLabel } from "../../../../src/study/labels.ts";
import { markedIds, viewWithId } from "../../../../src/study/trialViews.ts";
import type { WholeStudy } from "../../../../src/study/types.ts";
import { scaleReference } from "../../../../src/trials/scaleReference.ts";
import { foundLike } from "../../../../src/trials/setupEdits.ts";
import { formatNumber } from "../../../../src/uncertainty/format.ts";
import { K95 } from "../../../../src/uncertainty/uncertain.ts";
import type { FoundClip } from "../../../commands/ice/joinClips.ts";
import { onlySilent } from "../../../shell/onlySilent.ts";
import type { Shell } from "../../../shell/Shell.ts";
import { markedPicture } from "../../../store/time.ts";
import { isUnchecked } from "./scaleHere.ts";

/** What was found of one clip's background against another's. */
export type LookedAt =
  | { readonly trial: string; readonly joins: true; readonly found: FoundClip; readonly turn: Turn }
  | { readonly trial: string; readonly joins: false; readonly why: string };

type Turn = Backgrounds & { readonly alike: true };

/**
 * Trials and further views that another clip's ice points could serve, in the order of the day: those with a clip and no scale that
 * counts, whose picture is not known to be of another size.
 */
export function clipsWithoutScale(whole: WholeStudy, other: string): readonly string[] {
  const size = whole.marks[other]?.picture;
  return markedIds(whole.study).filter((id) => {
    const clip = viewWithId(whole.study, id)?.clip;
    if (id === other || clip === undefined) return false;
    const its = whole.marks[id]?.picture;
    if (its && its.clip !== clip) return false;
    if (its && size && (its.width !== size.width || its.height !== size.height)) return false;
    return scaleReference(whole, id) === null || isUnchecked(whole, id);
  });
}

/** Holds a trial's clip against another's by what stands still in both. A clip that can't be looked at is told, and no failure. */
export async function lookAt(
  shell: Pick<Shell, "compareBackgrounds" | "clipIndex">,
  { whole, trial, other }: { readonly whole: WholeStudy; readonly trial: string; readonly other: string },
  ...[tell, signal]: [Parameters<Shell["compareBackgrounds"]>[2], AbortSignal]
): Promise<LookedAt> {
  let turn: Backgrounds;
  try {
    turn = await shell.compareBackgrounds(trial, other, tell, signal);
  } catch (error) {
    if (signal.aborted) throw error;
    onlySilent(error);
    return { trial, joins: false, why: (error as Error).message };
  }
  if (!turn.alike) return { trial, joins: false, why: turn.text };
  const picture = markedPicture(await shell.clipIndex(viewWithId(whole.study, trial)!.clip!));
  if (!picture) return { trial, joins: false, why: "The size of its picture is not known." };
  return { trial, joins: true, turn, found: { trial, picture, like: foundLike(other, turn, picture) } };
}

/** "Their pictures lie up to 5.2 px (± 0.1 px) aside of this one's, which is taken out." */
export function turnsWords(turns: readonly Turn[]): string {
  const off = turns.map(({ dxPx, dyPx }) => ({
    px: Math.hypot(dxPx.value, dyPx.value),
    u95: K95 * Math.max(dxPx.u, dyPx.u),
  }));
  const most = off.reduce((a, b) => (b.px > a.px ? b : a));
  const [their, its] = turns.length === 1 ? ["Its picture lies", "was"] : ["Their pictures lie up to", "was"];
  if (off.every(({ px, u95 }) => px <= u95))
    return `The camera ${its} not turned in between (± ${formatNumber(most.u95, 1)} px).`;
  return `${their} ${formatNumber(most.px, 1)} px (± ${formatNumber(most.u95, 1)} px) aside of this one's; that is taken out.`;
}

/** Clips that don't join, those with the same reason together: "Aino, open recovery, trial 1; Bea …". */
export function whyNot(
  whole: WholeStudy,
  looked: readonly LookedAt[],
): readonly {
  readonly why: string;
  readonly clips: readonly { readonly trial: string; readonly name: string }[];
}[] {
  const left = looked.flatMap((one) => (one.joins ? [] : [one]));
  return [...new Set(left.map(({ why }) => why))].map((why) => ({
    why,
    clips: left
      .filter((one) => one.why === why)
      .map(({ trial }) => ({ trial, name: trialLabel(whole.study, trial) })),
  }));
}
