import { MeasureError } from "../../errors.ts";
import type { MovingFit } from "../moving/movingCamera.ts";
import { pxOff } from "../points/pointWarnings.ts";
import type { IceResidual } from "../types.ts";
import type { SetupClip, SetupClips } from "./setupClips.ts";

export function withoutPoints({ name }: SetupClips): MeasureError {
  return new MeasureError(
    "set-up-without-points",
    "fitSetup requires a clip with 4 or more ice points",
    `No clip of the set-up "${name}" has four ice points yet. Mark six or more on one of its clips; they serve all of them.`,
  );
}

/** A clip by its place in the set-up, from 1: a trial's id may name somebody. */
export function clipNumber({ clips }: SetupClips, clip: SetupClip): number {
  return 1 + clips.indexOf(clip);
}

export function zoomed({ cameras }: MovingFit, numbers: readonly number[]): MeasureError {
  const focals = cameras.map((c) => c.focalPx);
  const [least, most] = [Math.min(...focals), Math.max(...focals)];
  const named = (f: number) => `${f.toFixed(0)} px on its clip ${numbers[focals.indexOf(f)]}`;
  return new MeasureError(
    "set-up-zoomed",
    `fitSetup requires one focal length; the clips have ${least} to ${most}`,
    `The clips of this set-up were not filmed with one zoom from one place: by their ice points the focal length is ${named(least)} and ${named(most)}. Take the clip that differs out of the set-up, or check its ice points.`,
  );
}

export function undetermined(): MeasureError {
  return new MeasureError(
    "ice-points-degenerate",
    "fitSetup requires ice points that tell the parameters of the camera apart",
    "The ice points of this set-up can't tell where the camera stands. Mark more of them, spread along the lane and across it.",
  );
}

export function disagreement(
  setup: SetupClips,
  { clips, fit }: { readonly clips: readonly SetupClip[]; readonly fit: MovingFit },
  misfit: number,
  worst: IceResidual,
): MeasureError {
  const by = fit.chiSquares.map((c, k) => c / Math.max(1, fit.offPx[k]!.length - 3));
  const least = clips[by.indexOf(Math.max(...by))]!;
  return new MeasureError(
    "ice-points-disagree",
    `setupScale requires ice points that agree within 3 marking SD; rms is ${misfit.toFixed(1)} SD, worst ${worst.label}`,
    `The ice points of this set-up's clips disagree with each other by ${misfit.toFixed(1)} times what marking alone explains; those of its clip ${clipNumber(setup, least)} fit least, ${worst.label} is the worst (${pxOff(worst)}). Check them; if that clip's camera stood elsewhere, take it out of the set-up.`,
    { misfit, worst: worst.label, trial: least.trial },
  );
}

export function knockedAside(misfit: number, worst: IceResidual): MeasureError {
  return new MeasureError(
    "ice-points-disagree",
    `setupScale requires pieces of a clip seen from one place; rms is ${misfit.toFixed(1)} SD, worst ${worst.label}`,
    `The ice points before and after the knock don't go with one camera in one place: they disagree by ${misfit.toFixed(1)} times what marking alone explains, ${worst.label} is the worst (${pxOff(worst)}). Check them; if the knock moved the tripod aside, take away the ice points on one side of it.`,
    { misfit, worst: worst.label },
  );
}

export function unplaced({ name }: SetupClips, trial: string): MeasureError {
  return new MeasureError(
    "not-in-set-up",
    `setupScale requires a clip with two ice points or one like another; ${trial} has neither`,
    `Nothing tells yet how this clip's camera looked within the set-up "${name}". Mark two or three of its ice points here, far apart, or compare the backgrounds.`,
    { trial },
  );
}

export function farTooFew({ name }: SetupClips): MeasureError {
  return new MeasureError(
    "ice-points-degenerate",
    "setupScale requires a focal length known to a third",
    `The ice points of the set-up "${name}" can't tell the camera's focal length. Mark more of them, spread along the lane and across it.`,
  );
}
