import type { Warning } from "../../reading.ts";
import { chiSquareQuantile } from "../../statistics/distributions.ts";
import type { SetupFit } from "./fitSetup.ts";

/** A scale from elsewhere that nobody has held against this clip: how far its camera was moved in between, nobody can say. */
export const BY_WORD: Warning = {
  code: "scale-copied",
  text: "Only somebody's word says that this clip was filmed as another one. If its camera was touched or put up anew in between, every number in metres would be wrong, nobody knows by how much, so none is shown. In Measure, under Scale, compare the backgrounds, mark two or three of the ice points here, or look whether the squares lie on their places.",
};

export interface ClipDoubts {
  readonly warnings: readonly Warning[];
  /** Why nothing is measured on this clip; null = it is. */
  readonly unprovenWhy: string | null;
}

/** What speaks against a clip's belonging to its set-up, or that nothing speaks for it. */
export function clipDoubts(joint: SetupFit, at: number): ClipDoubts {
  if (restsOnWord(joint, at)) return { warnings: [BY_WORD], unprovenWhy: BY_WORD.text };
  const unlike = unlikeSetup(joint, at);
  return unlike
    ? {
        warnings: [unlike.warning],
        unprovenWhy: unlike.isSure ? `Not shown, because of a warning: ${unlike.warning.text}` : null,
      }
    : { warnings: [], unprovenWhy: null };
}

/** Whether somebody's word is all that ties a clip to the ice points of the others, at any step of the way. */
function restsOnWord({ clips }: SetupFit, at: number): boolean {
  const passed = new Set<number>();
  for (let k = at; k >= 0 && !passed.has(k); ) {
    const { points, like } = clips[k]!;
    if (points.length >= 2 || !like) return false;
    if (like.by === "said") return true;
    passed.add(k);
    k = clips.findIndex((c) => c.trial === like.trial);
  }
  return true;
}

/** Sets of points and backgrounds that are told to be unlike although they are not, over all clips of a set-up. */
const FALSE_ALARMS = 0.02;
/** Those of which nothing is measured any more. */
const FALSE_REFUSALS = 0.0001;

/** Whether this clip's own points or background disagree with the rest beyond chance. */
function unlikeSetup(
  { clips, fit, likeMisses }: SetupFit,
  at: number,
): { readonly warning: Warning; readonly isSure: boolean } | null {
  if (clips.length < 2) return null;
  const square = likeMisses[at]!.reduce((sum, r) => sum + r * r, fit.chiSquares[at]!);
  const count = fit.offPx[at]!.length + likeMisses[at]!.length - 3;
  if (count < 1) return null;
  const most = (alarms: number) => chiSquareQuantile(1 - alarms / clips.length, count);
  if (square <= most(FALSE_ALARMS)) return null;
  const times = Math.sqrt(square / count).toFixed(1);
  return {
    isSure: square > most(FALSE_REFUSALS),
    warning: {
      code: "clip-unlike-set-up",
      text: `This clip does not go with the others of its camera set-up: its own ice points and background disagree with them by ${times} times what marking explains. If the camera was carried elsewhere or zoomed, take the clip out of the set-up; else check its ice points.`,
    },
  };
}
