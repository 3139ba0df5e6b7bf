import type { PicturePoint, Scale } from "../../ice/types.ts";
import { strideWidthLine } from "../../kinematics/strideWidthLine.ts";
import { touchdownLine } from "../../kinematics/touchdownLine.ts";
import type { Reading, Stride } from "../../kinematics/types.ts";
import type { Side } from "../../study/types.ts";
import { formatReading } from "../../uncertainty/format.ts";

/** A blade point on the ice that was marked up to the frame shown. */
export interface TrailPoint extends PicturePoint {
  readonly side: Side;
  readonly contact: "blade_off" | "blade_on";
}

/** A measured length lying on the ice, with its value ± u95. */
export interface DrawnLength {
  readonly what: "width" | "touchdown";
  readonly blade: PicturePoint;
  readonly toward: PicturePoint;
  readonly text: string;
}

export interface IceMarks {
  readonly trail: readonly TrailPoint[];
  /** A blade on the ice from blade-on to blade-off, straight between the two marked points. */
  readonly glides: readonly { readonly side: Side; readonly from: PicturePoint; readonly to: PicturePoint }[];
  readonly lengths: readonly DrawnLength[];
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
 * What the strides up to a frame say: width from its blade-off on, recovery and touchdown from its blade-on on.
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
      (s) => s.blade_on_frame,
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
  return { trail, glides, lengths: lengths(strides, see, now) };
}

function lengths(
  strides: readonly Stride[],
  see: (p: { readonly x: number; readonly y: number }) => PicturePoint | null,
  { width, touchdown }: Latest,
): DrawnLength[] {
  const drawn: DrawnLength[] = [];
  const add = (
    what: DrawnLength["what"],
    blade: PicturePoint | null,
    toward: PicturePoint | null,
    r: Reading,
  ) => {
    if (blade && toward && r.value !== null) drawn.push({ what, blade, toward, text: formatReading(r, "m") });
  };
  const line = width && strideWidthLine(strides, width.stride);
  if (line) add("width", see(line.from), see(line.foot), width.reading);
  const landed = touchdown && strideWidthLine(strides, touchdown.stride);
  const across = landed && touchdownLine(touchdown.stride, landed);
  if (across) add("touchdown", see(across.from), see(across.to), touchdown.reading);
  return drawn;
}
