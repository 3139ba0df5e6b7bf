import type { PicturePoint, Scale } from "../../ice/types.ts";
import type { Stride } from "../../kinematics/types.ts";
import type { Reading } from "../../reading.ts";
import type { Side } from "../../study/types.ts";
import { formatReading } from "../../uncertainty/format.ts";
import { type MeasuredLine, recoveryLine, touchdownLine, widthLine } from "../still/measuredLines.ts";

/** A blade point on the ice that was marked up to the frame shown. */
export interface TrailPoint extends PicturePoint {
  readonly side: Side;
  readonly contact: "blade_off" | "blade_on";
}

/** A measured length lying on the ice, with its value ± u95. */
export interface DrawnLength {
  readonly what: "width" | "recovery" | "touchdown" | "left arm" | "right arm";
  readonly blade: PicturePoint;
  readonly toward: PicturePoint;
  readonly text: string;
}

export interface IceMarks {
  readonly trail: readonly TrailPoint[];
  /** A blade on the ice from blade-on to blade-off, straight between the two marked points. */
  readonly glides: readonly { readonly side: Side; readonly from: PicturePoint; readonly to: PicturePoint }[];
  readonly lengths: readonly DrawnLength[];
  /** Arms at an extreme of their swing: shoulder, elbow, wrist. */
  readonly limbs: readonly (readonly PicturePoint[])[];
}

/** A quantity of the last stride that had it by now. */
export interface LatestReading {
  readonly stride: Stride;
  readonly reading: Reading;
}

export interface Latest {
  readonly width: LatestReading | null;
  readonly recovery: LatestReading | null;
  readonly touchdown: LatestReading | null;
}

/** After so many real seconds without a new stride the last one's numbers are not the current ones any more. */
const CURRENT = 0.9;

/**
 * What the strides up to a frame say: each width from its blade-off on, recovery from where the blade is nearest the
 * midline, touchdown from where it comes down.
 *
 * @param seconds real seconds of the clip at a frame
 */
export function latest(
  strides: readonly Stride[],
  frame: number,
  seconds: (frame: number) => number,
): Latest {
  const last = (
    from: (s: Stride) => number | null,
    reading: (s: Stride) => Reading,
  ): LatestReading | null => {
    const stride = strides.filter((s) => (from(s) ?? Number.POSITIVE_INFINITY) <= frame).at(-1);
    if (!stride || seconds(frame) - seconds(from(stride)!) > CURRENT) return null;
    return { stride, reading: reading(stride) };
  };
  return {
    width: last(
      (s) => s.blade_off_frame,
      (s) => s.readings.stride_width_m,
    ),
    recovery: last(
      (s) => s.recovery?.frame ?? s.blade_on_frame,
      (s) => s.readings.recovery_to_midline_m,
    ),
    touchdown: last(
      (s) => s.blade_on_frame,
      (s) => s.readings.touchdown_to_track_midline_m,
    ),
  };
}

/** Blade points so far and the current lengths, as seen in a frame; nothing of what comes later. */
export function iceMarks(strides: readonly Stride[], scale: Scale, frame: number, now: Latest): IceMarks {
  const see = (p: { readonly x: number; readonly y: number }) => scale.toPicture(p.x, p.y, 0, frame);
  const trail: TrailPoint[] = [];
  const glides: { side: Side; from: PicturePoint; to: PicturePoint }[] = [];
  const down: Partial<Record<Side, PicturePoint>> = {};
  const contacts = strides
    .flatMap((s) => [
      { side: s.side, contact: "blade_off" as const, frame: s.blade_off_frame, place: s.off },
      { side: s.side, contact: "blade_on" as const, frame: s.blade_on_frame, place: s.on },
    ])
    .sort((a, b) => (a.frame ?? 0) - (b.frame ?? 0));
  for (const { side, contact, frame: at, place } of contacts) {
    if (at === null || at > frame) continue;
    const seen = place && see(place);
    const from = down[side];
    if (contact === "blade_off" && from && seen) glides.push({ side, from, to: seen });
    delete down[side];
    if (!seen) continue;
    if (contact === "blade_on") down[side] = seen;
    trail.push({ ...seen, side, contact });
  }
  return { trail, glides, lengths: lengths(strides, scale, frame, now), limbs: [] };
}

function lengths(strides: readonly Stride[], scale: Scale, frame: number, now: Latest): DrawnLength[] {
  const { width, recovery, touchdown } = now;
  const landed = (r: LatestReading) => r.stride.blade_on_frame !== null && r.stride.blade_on_frame <= frame;
  const lines: [DrawnLength["what"], MeasuredLine | null][] = [
    ["width", width && widthLine(scale, frame, strides, width.stride)],
    // Until the blade comes down again; then the touchdown is what there is to see.
    ["recovery", recovery && !landed(recovery) ? recoveryLine(scale, frame, recovery.stride) : null],
    ["touchdown", touchdown && touchdownLine(scale, frame, strides, touchdown.stride)],
  ];
  const newest = recovery && !landed(recovery) ? "recovery" : "touchdown";
  return lines.flatMap(([what, line]) =>
    line && (what === "width" || what === newest)
      ? [{ what, blade: line.blade, toward: line.toward, text: formatReading(line, "m") }]
      : [],
  );
}
