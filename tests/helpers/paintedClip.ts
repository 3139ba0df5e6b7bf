import { spawn, spawnSync } from "node:child_process";
import { once } from "node:events";
import { readFileSync, writeFileSync } from "node:fs";
import { isHere } from "./itWhere.ts";

/**
 * Clips whose frames carry their own number, painted as black and white squares, so that a test can read back from any
 * picture which frame it is: identity, not similarity.
 *
 * 6 x 4 cells over the whole picture, row by row. The corners say which way up it is (top left, top right, bottom left
 * white; bottom right black); the other 20 are the number's 16 bits, highest first, and 4 check bits.
 */
const COLUMNS = 6;
const ROWS = 4;
const CORNERS: ReadonlyMap<number, boolean> = new Map([
  [0, true],
  [COLUMNS - 1, true],
  [COLUMNS * (ROWS - 1), true],
  [COLUMNS * ROWS - 1, false],
]);
const BLACK = 32;
const WHITE = 224;

function cells(n: number): boolean[] {
  const check = (n ^ (n >> 4) ^ (n >> 8) ^ (n >> 12) ^ 0b1010) & 15;
  const code = (n << 4) | check;
  let bit = 19;
  return Array.from({ length: COLUMNS * ROWS }, (_, i) => CORNERS.get(i) ?? ((code >> bit--) & 1) === 1);
}

/** Luma of the picture that shows number `n`, row by row. */
export function painted(n: number, width: number, height: number): Uint8Array {
  const lit = cells(n);
  const luma = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) {
    const row = Math.floor((y * ROWS) / height) * COLUMNS;
    for (let x = 0; x < width; x++) {
      luma[y * width + x] = lit[row + Math.floor((x * COLUMNS) / width)] ? WHITE : BLACK;
    }
  }
  return luma;
}

/**
 * The number painted in a picture.
 *
 * @param rgba 4 bytes a pixel, row by row, e.g. `ImageData.data`
 * @throws when a cell is neither black nor white, the picture is turned or mirrored, or the check bits do not fit
 */
export function readPaintedNumber(rgba: ArrayLike<number>, width: number, height: number): number {
  const lit: boolean[] = [];
  for (let row = 0; row < ROWS; row++) {
    for (let column = 0; column < COLUMNS; column++) {
      let sum = 0;
      let count = 0;
      // The middle third of the cell: its edges are blurred by compression.
      for (let y = span(row, ROWS, height, 1); y < span(row, ROWS, height, 2); y++) {
        for (let x = span(column, COLUMNS, width, 1); x < span(column, COLUMNS, width, 2); x++) {
          const at = 4 * (y * width + x);
          sum += (rgba[at]! + rgba[at + 1]! + rgba[at + 2]!) / 3;
          count += 1;
        }
      }
      const mean = sum / count;
      if (!(mean < 90 || mean > 166))
        throw new Error(`painted cell ${row},${column} is neither black nor white: ${mean}`);
      lit.push(mean > 128);
    }
  }
  for (const [cell, white] of CORNERS) {
    if (lit[cell] !== white) throw new Error("the painted picture is turned, mirrored or not a painted one");
  }
  const code = lit.filter((_, i) => !CORNERS.has(i)).reduce((sum, bit) => sum * 2 + (bit ? 1 : 0), 0);
  const n = code >> 4;
  if (cells(n).some((bit, i) => bit !== lit[i]))
    throw new Error(`the painted number ${n} does not fit its check bits`);
  return n;
}

function span(cell: number, cellsAcross: number, size: number, third: number): number {
  return Math.floor(((cell + third / 3) * size) / cellsAcross);
}

export interface PaintedClip {
  /** Where it is written; the extension chooses the container. */
  readonly file: string;
  readonly frames: number;
  /** Displayed picture, before pixels are made square. */
  readonly width: number;
  readonly height: number;
  readonly fps: number;
  /** Between input and output of ffmpeg: encoder, filters, container options. */
  readonly args?: readonly string[];
  /** Clockwise turn for display: the coded picture is painted turned back, and the MP4's matrix turns it upright. */
  readonly rotation?: 0 | 90 | 180 | 270;
  /** The coded picture is painted mirrored left to right as well, and the matrix mirrors it back before it turns it. */
  readonly mirrored?: boolean;
  /** The number in the first frame. */
  readonly from?: number;
}

/** The ffmpeg tests make clips with; the same order as the app's. */
export const FFMPEG = process.env.BLADEMARK_FFMPEG || "ffmpeg";

export const H264 = ["-c:v", "libx264", "-pix_fmt", "yuv420p", "-preset", "ultrafast"] as const;

/** Makes a clip; resolves to its path. */
export async function paintedClip(clip: PaintedClip): Promise<string> {
  const { file, frames, width, height, fps, args = H264, rotation = 0, mirrored = false, from = 0 } = clip;
  const [w, h] = rotation % 180 === 0 ? [width, height] : [height, width];
  const child = spawn(
    FFMPEG,
    [
      ...["-v", "error", "-y", "-f", "rawvideo", "-pix_fmt", "gray", "-s", `${w}x${h}`, "-r", String(fps)],
      ...["-i", "pipe:0", ...args, `file:${file}`],
    ],
    { stdio: ["pipe", "ignore", "pipe"] },
  );
  let said = "";
  child.stderr.on("data", (text) => {
    said += text;
  });
  const ended = once(child, "close");
  child.stdin.on("error", () => undefined);
  for (let n = from; n < from + frames && !child.stdin.destroyed; n++) {
    const picture = turnBack(painted(n, width, height), width, height, rotation, mirrored);
    if (!child.stdin.write(picture)) await Promise.race([once(child.stdin, "drain"), ended]);
  }
  child.stdin.end();
  const [code] = await ended;
  if (code !== 0) throw new Error(`ffmpeg could not make ${file}: ${said}`);
  if (rotation !== 0 || mirrored) setRotation(file, rotation, mirrored, w, h);
  return file;
}

/** The coded picture that shows `luma` once it is turned clockwise by `rotation`. */
function turnBack(
  luma: Uint8Array,
  width: number,
  height: number,
  rotation: 0 | 90 | 180 | 270,
  mirrored: boolean,
): Uint8Array {
  if (rotation === 0 && !mirrored) return luma;
  const [w, h] = rotation % 180 === 0 ? [width, height] : [height, width];
  const coded = new Uint8Array(luma.length);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      // Where coded pixel (x, y) is displayed.
      const m = mirrored ? w - 1 - x : x;
      const [dx, dy] = { 0: [m, y], 90: [h - 1 - y, m], 180: [w - 1 - m, h - 1 - y], 270: [y, w - 1 - m] }[
        rotation
      ] as [number, number];
      coded[y * w + x] = luma[dy * width + dx]!;
    }
  }
  return coded;
}

/**
 * Writes the track header's matrix as a phone does (ISO/IEC 14496-12, 8.3.2: x' = a x + c y + tx, y' = b x + d y + ty;
 * 16.16 fixed point, the third column 2.30), so that tests do not depend on how some ffmpeg spells the option.
 */
function setRotation(
  file: string,
  rotation: 0 | 90 | 180 | 270,
  mirrored: boolean,
  codedWidth: number,
  codedHeight: number,
): void {
  const bytes = readFileSync(file);
  const header = bytes.indexOf("tkhd");
  if (header < 0 || bytes[header + 4] !== 0) throw new Error(`${file} has no version 0 track header`);
  const [a, b, c, d, tx, ty] = {
    0: [1, 0, 0, 1, 0, 0],
    90: [0, 1, -1, 0, codedHeight, 0],
    180: [-1, 0, 0, -1, codedWidth, codedHeight],
    270: [0, -1, 1, 0, 0, codedWidth],
  }[rotation] as [number, number, number, number, number, number];
  // Mirrored first, the coded x axis goes the other way.
  const x = mirrored ? -1 : 1;
  [x * a, x * b, 0, c, d, 0, tx, ty].forEach((value, i) => {
    bytes.writeInt32BE(value * 65536, header + 44 + 4 * i);
  });
  writeFileSync(file, bytes);
}

export interface Rgba {
  readonly data: Uint8Array;
  readonly width: number;
  readonly height: number;
}

/** Decodes JPEGs or PNGs of one size in one go, without the app's code. */
export function decodePictures(
  pictures: readonly Uint8Array[],
  width: number,
  height: number,
  demuxer = "mjpeg",
): Rgba[] {
  const ended = spawnSync(
    FFMPEG,
    [
      ...["-v", "error", "-f", demuxer, "-i", "pipe:0", "-vsync", "passthrough"],
      ...["-f", "rawvideo", "-pix_fmt", "rgba", "pipe:1"],
    ],
    { input: Buffer.concat(pictures), maxBuffer: 2 ** 31 - 1 },
  );
  const size = width * height * 4;
  if (ended.status !== 0 || ended.stdout.length !== size * pictures.length) {
    throw new Error(
      `${pictures.length} pictures of ${width} x ${height} gave ${ended.stdout.length} bytes: ${ended.stderr}`,
    );
  }
  return pictures.map((_, i) => ({ data: ended.stdout.subarray(i * size, (i + 1) * size), width, height }));
}

/** The numbers painted in JPEGs of one size. */
export function numbersIn(pictures: readonly Uint8Array[], width: number, height: number): number[] {
  return decodePictures(pictures, width, height).map((p) => readPaintedNumber(p.data, p.width, p.height));
}

/** Whether this machine's ffmpeg has an encoder. A Linux build's must have those we ask for. */
export function hasEncoder(name: string): boolean {
  const listed = new RegExp(`^ V\\S* ${name} `, "m").test(
    spawnSync(FFMPEG, ["-hide_banner", "-encoders"], { encoding: "utf8" }).stdout ?? "",
  );
  return isHere(listed, `no ${name} in this ffmpeg`);
}

/**
 * Presentation times ffprobe reads from the packets, without decoding: packets an edit list discards left out, sorted,
 * the first at 0. null where there is no ffprobe.
 */
export function packetTimes(file: string): number[] | null {
  const ended = spawnSync(
    "ffprobe",
    [
      ...["-v", "error", "-select_streams", "V:0", "-show_entries", "packet=pts,flags:stream=time_base"],
      ...["-of", "json", `file:${file}`],
    ],
    { encoding: "utf8", maxBuffer: 2 ** 28 },
  );
  if (!isHere(ended.status === 0, "no ffprobe here")) return null;
  const { packets, streams } = JSON.parse(ended.stdout) as {
    packets: { pts: number; flags: string }[];
    streams: { time_base: string }[];
  };
  const [num = 0, den = 1] = streams[0]!.time_base.split("/").map(Number);
  const pts = packets.filter((p) => !p.flags.includes("D")).map((p) => p.pts);
  pts.sort((a, b) => a - b);
  return pts.map((p) => ((p - pts[0]!) * num) / den);
}

/**
 * Presentation times of a plain decode by ffprobe, the first there is at 0. null where there is no ffprobe; a frame's is null
 * where ffprobe has none (the last frames of an AVI, Matroska before zero).
 */
export function decodedTimes(file: string): (number | null)[] | null {
  const ended = spawnSync(
    "ffprobe",
    [
      ...["-v", "error", "-select_streams", "V:0"],
      ...["-show_entries", "frame=best_effort_timestamp:stream=time_base", "-of", "json", `file:${file}`],
    ],
    { encoding: "utf8", maxBuffer: 2 ** 28 },
  );
  if (!isHere(ended.status === 0, "no ffprobe here")) return null;
  const { frames, streams } = JSON.parse(ended.stdout) as {
    frames: { best_effort_timestamp?: number }[];
    streams: { time_base: string }[];
  };
  const [num = 0, den = 1] = streams[0]!.time_base.split("/").map(Number);
  const pts = frames.map((f) => f.best_effort_timestamp ?? null);
  const first = pts.find((p) => p !== null) ?? 0;
  return pts.map((p) => (p === null ? null : ((p - first) * num) / den));
}

/** How many packets of the picture begin and end before byte `end`, by ffprobe. */
export function packetsBefore(file: string, end: number): number {
  const { stdout } = spawnSync(
    "ffprobe",
    [
      "-v",
      "error",
      "-select_streams",
      "V:0",
      "-show_entries",
      "packet=pos",
      "-of",
      "csv=p=0",
      `file:${file}`,
    ],
    { encoding: "utf8", maxBuffer: 2 ** 28 },
  );
  // A packet ends where the next begins.
  return stdout.split("\n").filter((pos, i) => i > 0 && pos !== "" && Number.parseInt(pos, 10) <= end).length;
}
