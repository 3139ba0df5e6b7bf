import type { Warning } from "../reading.ts";

/** What was found of a clip, as far as sentences need it. */
export interface Judged {
  readonly frames: readonly unknown[];
  readonly bumps: readonly { readonly frame: number; readonly dxPx: number; readonly dyPx: number }[];
}

export interface HowFar {
  /** SD from one frame to the next, px; 0 = no more than noise. */
  readonly shakePx: number;
  /** Farthest from the start, px; 0 = no more than noise. */
  readonly movedPx: number;
}

/** @param far null = too few frames tell */
export function motionWarnings({ frames, bumps }: Judged, far: HowFar | null): Warning[] {
  const unknown = frames.flatMap((motion, frame) => (motion === null ? [frame] : []));
  if (!far) return [cannotTell(frames.length, unknown.length)];
  const warnings: Warning[] = [];
  if (unknown.length > 0)
    warnings.push({
      code: "background-lost",
      text: `On ${places(unknown)} the picture does not tell where the camera looks: nothing that stands still can be told apart there (hidden, blurred, dark or bare ice). If you mark points there, mark two ice points on these frames too.`,
    });
  for (const { frame, dxPx, dyPx } of bumps)
    warnings.push({
      code: "camera-bumped",
      text: `The camera was knocked at frame ${frame}: what stands still jumps by ${Math.hypot(dxPx, dyPx).toFixed(1)} px at the picture's centre and stays there. Ice points marked before it do not hold after it; mark them again on a later frame.`,
    });
  if (far.shakePx > 0)
    warnings.push({
      code: "camera-shakes",
      text: `The picture shakes by ${far.shakePx.toFixed(1)} px from one frame to the next (SD), as a camera's picture stabilisation makes it, or a hand. Switch stabilisation off and use a tripod. For this clip mark two ice points on each frame with marks.`,
    });
  else if (far.movedPx > 0 && bumps.length === 0)
    warnings.push({
      code: "camera-moves",
      text: `The camera does not stand still: the picture moves by up to ${far.movedPx.toFixed(1)} px. Ice points marked on one frame do not hold for the others; mark them on each frame with marks (a camera that pans or zooms).`,
    });
  return warnings;
}

function cannotTell(count: number, unknown: number): Warning {
  const which =
    unknown === 0
      ? `The clip has only ${count} ${count === 1 ? "frame" : "frames"}`
      : `On ${unknown} of ${count} frames the picture does not tell where the camera looks: too little in it stands still and can be told apart (bare ice, blur, dark)`;
  return {
    code: "background-unknown",
    text: `${which}, so whether the camera stood still can't be told. Film with boards, lines or other fixed things in sharp view, in good light; for this clip mark the same ice points on an early and a late frame and compare them.`,
  };
}

/** Frames in words: runs, at most five of them. */
function places(frames: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const frame of frames) {
    const last = runs.at(-1);
    if (last && last[1] === frame - 1) last[1] = frame;
    else runs.push([frame, frame]);
  }
  const said = runs.slice(0, 5).map(([from, to]) => (from === to ? `${from}` : `${from} to ${to}`));
  const more = runs.length > 5 ? ` and ${runs.length - 5} more places` : "";
  return `${frames.length === 1 ? "frame" : "frames"} ${said.join(", ")}${more}`;
}
