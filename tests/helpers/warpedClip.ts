import { spawnSync } from "node:child_process";
import { FFMPEG, H264 } from "./paintedClip.ts";

/** One coordinate over frames, 0 at frame 0: waves (size, radians a frame, phase), steps that stay, and a steady change. */
export interface Course {
  readonly waves?: readonly (readonly [size: number, rate: number, phase: number])[];
  readonly steps?: readonly (readonly [frame: number, size: number])[];
  readonly perFrame?: number;
}

export function at({ waves = [], steps = [], perFrame = 0 }: Course, n: number): number {
  const wave = waves.reduce((sum, [s, r, p]) => sum + s * (Math.sin(r * n + p) - Math.sin(p)), 0);
  return wave + steps.reduce((sum, [frame, s]) => sum + (n >= frame ? s : 0), 0) + perFrame * n;
}

/** The same for ffmpeg; the filter counts frames from 1. */
function expression({ waves = [], steps = [], perFrame = 0 }: Course): string {
  const n = "(on-1)";
  return [
    "0",
    ...waves.map(([s, r, p]) => `${s}*(sin(${r}*${n}+${p})-${Math.sin(p)})`),
    ...steps.map(([frame, s]) => `${s}*gte(${n},${frame})`),
    `${perFrame}*${n}`,
  ].join("+");
}

/** How a camera moves the picture about its centre: px right and down, degrees clockwise, and times its size, as a logarithm. */
export interface Moves {
  readonly dx?: Course;
  readonly dy?: Course;
  readonly turnDeg?: Course;
  readonly logScale?: Course;
}

export interface Warped {
  readonly from: string;
  readonly file: string;
  readonly frames: number;
  readonly moves: Moves;
  /** Of the clip that is warped. */
  readonly size: readonly [number, number];
  /** Middle part that is kept: beyond the edges of the clip nothing is known. */
  readonly keep: readonly [number, number];
  /** Filters of ffmpeg's before and after, e.g. the sensor's noise. */
  readonly before?: string;
  readonly after?: string;
  readonly quality?: number;
}

/** A clip seen by a camera that moves as told, by ffmpeg's own `perspective` (cubic), cut and compressed. */
export function warpedClip({
  from,
  file,
  frames,
  moves,
  size,
  keep,
  before,
  after,
  quality = 20,
}: Warped): string {
  const [width, height] = size;
  const [cx, cy] = [(width - 1) / 2, (height - 1) / 2];
  const [dx, dy, turn, log] = [moves.dx, moves.dy, moves.turnDeg, moves.logScale].map(
    (c) => `(${expression(c ?? {})})`,
  );
  // The filter asks which place of the clip is seen at each corner: the move taken back.
  const corners = [
    [0, 0],
    [width, 0],
    [0, height],
    [width, height],
  ].map(([qx, qy], k) => {
    const [x, y] = [`(${qx! - cx}-${dx})`, `(${qy! - cy}-${dy})`];
    const [c, s] = [`cos(${turn}*PI/180)`, `sin(${turn}*PI/180)`];
    return `x${k}='${cx}+(${c}*${x}+${s}*${y})*exp(-${log})':y${k}='${cy}+(${c}*${y}-${s}*${x})*exp(-${log})'`;
  });
  const filters = [
    ...(before ? [before] : []),
    `perspective=${corners.join(":")}:interpolation=cubic:sense=source:eval=frame`,
    `crop=${keep[0]}:${keep[1]}`,
    ...(after ? [after] : []),
  ];
  const { status, stderr } = spawnSync(
    FFMPEG,
    [
      "-v",
      "error",
      "-y",
      "-i",
      from,
      "-vf",
      filters.join(","),
      "-frames:v",
      String(frames),
      ...H264,
      "-crf",
      String(quality),
      file,
    ],
    { encoding: "utf8" },
  );
  if (status !== 0) throw new Error(stderr);
  return file;
}
