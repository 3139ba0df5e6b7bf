import type { Scale } from "../../../../src/ice/types.ts";
import type { EventFrame, IceReference } from "../../../../src/study/types.ts";
import { icePointsOn } from "../../../commands/ice/icePoints.ts";
import type { Derived } from "../../../store/readings.ts";
import type { ScaleAdvice } from "./advice.ts";

/** Frames that fix the tripod and the lens, and the ice points asked for on each. */
export const KEY_FRAMES = 3;
export const KEY_POINTS = 8;
/** With fewer a frame is no key frame; eight are asked for. */
const LEAST_KEY_POINTS = 6;
/** Ice points of its own that every measured frame needs to which the background does not carry those of others. */
export const LEAST_ON_FRAME = 2;

type Moving = Extract<IceReference, { kind: "ice-points-by-frame" }>;

/**
 * Event frames that still lack ice points of their own, in order.
 *
 * @param scale what is fitted to them, where something is: the background may carry it to frames without
 */
export function framesWithoutIce(
  reference: IceReference | null,
  events: readonly EventFrame[],
  scale: Derived<Scale> | null = null,
): readonly number[] {
  if (reference?.kind !== "ice-points-by-frame") return [];
  const frames = [...new Set(events.map((e) => e.frame))].sort((a, b) => a - b);
  const carries = (frame: number) => scale?.ok === true && scale.value.carries?.(frame) === true;
  return frames.filter((frame) => icePointsOn(reference, frame).length < LEAST_ON_FRAME && !carries(frame));
}

/** What to do next for the scale while the camera moves, in words. */
export function movingAdvice(
  reference: Moving,
  frame: number,
  events: readonly EventFrame[],
  scale: Derived<Scale> | null = null,
): ScaleAdvice {
  const here = icePointsOn(reference, frame).length;
  const keys = reference.frames.filter((f) => f.points.length >= LEAST_KEY_POINTS).length;
  const title = `${here === 0 ? "No" : here} ice ${here === 1 ? "point" : "points"} on frame ${frame}`;
  if (keys < KEY_FRAMES) {
    return {
      done: false,
      title,
      hint: `A moving camera needs ${KEY_FRAMES} frames far apart with ${KEY_POINTS} ice points each; ${keys} of ${KEY_FRAMES} have enough. They fix where the tripod stands and how the lens is set.`,
    };
  }
  const open = framesWithoutIce(reference, events, scale);
  const followed = scale?.ok ? scale.value.summary.followed : undefined;
  if (open.length > 0) {
    return {
      done: true,
      title,
      hint: `${open.length === 1 ? "One event frame has" : `${open.length} event frames have`} fewer than two ice points of their own and can't be measured in metres yet. ${followed ? "The background does not carry the scale there: put two on each." : "Look at the background of this clip, which carries the scale to them, or put two on each."} Dashed squares show where the others should be.`,
    };
  }
  return {
    done: true,
    title,
    hint: followed
      ? "Tripod and lens are known, and the background carries them from frame to frame."
      : "Tripod and lens are known. Look at the background of this clip, which carries them to the other frames, or put two ice points on each event frame.",
  };
}
