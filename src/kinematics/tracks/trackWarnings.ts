import { runsOf } from "../../marks/smoothTrack.ts";
import type { Warning } from "../../reading.ts";
import type { Contact } from "../trial/contact.ts";
import type { StrideEvents } from "../trial/strideOrder.ts";
import type { BladeTracks, TrackPoint } from "./bladeTracks.ts";
import { ACROSS_VIEW_DEG, ALONG_VIEW_DEG, BEND_REACH, bendNear } from "./proposeEvents.ts";

/** Where the farthest-out may lie from a picked blade-off, and the bend from either event, seconds (docs/precision.md 6). */
const EXTREME_WITHIN = { least: -0.03, most: 0.05 };
const BEND_WITHIN = 0.04;
/** Beside the camera's own frames: half a frame either way, as the picked frame says no more. */
const HOLE = 0.06;

/**
 * Picked events that densely marked blades contradict: along the travel by where the blade is farthest out, from the
 * side by where its track bends. A track never moves an event; it asks for a second look.
 */
export function trackWarnings(
  tracks: BladeTracks | null,
  strides: readonly StrideEvents[],
  secondsOf: (stride: StrideEvents, contact: Contact) => number | null,
  frameSeconds: number,
): Warning[] {
  if (!tracks || tracks.viewDeg === null) return [];
  const view = tracks.viewDeg;
  return strides.flatMap((stride) =>
    (["blade_off", "blade_on"] as const).flatMap((contact): Warning[] => {
      const picked = secondsOf(stride, contact);
      const run =
        picked === null ? undefined : runsOf(tracks[stride.side], HOLE).find((r) => covers(r, picked));
      if (picked === null || !run) return [];
      const event = contact === "blade_off" ? stride.off : stride.on!;
      const words = `${stride.side} ${contact.replace("_", "-")} in frame ${event.frame}`;
      const ms = (seconds: number) =>
        `${Math.abs(Math.round(1000 * seconds))} ms ${seconds < 0 ? "before" : "after"}`;
      if (view < ALONG_VIEW_DEG && contact === "blade_off") {
        const late = farthestOut(run, picked) - picked;
        const slack = frameSeconds / 2;
        if (late >= EXTREME_WITHIN.least - slack && late <= EXTREME_WITHIN.most + slack) return [];
        return [
          {
            code: "event-against-track",
            text: `The ${words} and the blade's marks disagree: it is farthest out ${ms(late)}. Look at that blade-off again.`,
          },
        ];
      }
      if (view <= ACROSS_VIEW_DEG) return [];
      const bend = bendNear(run, picked);
      if (bend === null || Math.abs(bend - picked) <= BEND_WITHIN + frameSeconds / 2) return [];
      return [
        {
          code: "event-against-track",
          text: `The ${words} and the blade's marks disagree: its track bends ${ms(bend - picked)}. Look at that event again.`,
        },
      ];
    }),
  );
}

function covers(run: readonly TrackPoint[], time: number): boolean {
  return run[0]!.time <= time - BEND_REACH && run[run.length - 1]!.time >= time + BEND_REACH;
}

/** Time at which the blade is farthest out within reach of an event; its marks' parabola smooths the noise. */
function farthestOut(run: readonly TrackPoint[], picked: number): number {
  const near = run.filter((p) => Math.abs(p.time - picked) <= BEND_REACH);
  const smooth = near.map((p) => {
    const around = near.filter((q) => Math.abs(q.time - p.time) <= HOLE / 2);
    return { time: p.time, out: around.reduce((sum, q) => sum + q.out, 0) / around.length };
  });
  return smooth.reduce((best, p) => (p.out > best.out ? p : best)).time;
}
