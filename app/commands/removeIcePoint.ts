import type { Command } from "./Command.ts";
import { marksOf, withMarks } from "./marksOf.ts";

/** Takes an ice point out of the ice reference; the last one takes the reference with it. */
export const removeIcePoint: Command<{ trial: string; label: string }> = {
  name: "removeIcePoint",
  label: ({ label }) => `remove ice point ${label}`,
  run(whole, { trial, label }) {
    const before = marksOf(whole, trial);
    const reference = before.iceReference;
    if (reference?.kind !== "ice-points") return whole;
    const points = reference.points.filter((p) => p.label !== label);
    if (points.length === reference.points.length) return whole;
    return withMarks(whole, {
      ...before,
      iceReference: points.length > 0 ? { ...reference, points } : null,
    });
  },
};
