import type { Command } from "../Command.ts";
import { marksOf, withMarks } from "../marks/marksOf.ts";
import { icePointsOn, withIcePoints } from "./icePoints.ts";

/** Takes an ice point out of the ice reference (out of one frame, where the camera moves); a still camera's last one takes the reference with it. */
export const removeIcePoint: Command<{ trial: string; frame: number; label: string }> = {
  name: "removeIcePoint",
  label: ({ label }) => `remove ice point ${label}`,
  run(whole, { trial, frame, label }) {
    const before = marksOf(whole, trial);
    const kept = icePointsOn(before.iceReference, frame);
    const points = kept.filter((p) => p.label !== label);
    if (points.length === kept.length) return whole;
    return withMarks(whole, { ...before, iceReference: withIcePoints(before.iceReference, frame, points) });
  },
};
