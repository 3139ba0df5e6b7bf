import { spawn, spawnSync } from "node:child_process";
import { once } from "node:events";
import { readFileSync, writeFileSync } from "node:fs";
import { createCanvas, Image } from "@napi-rs/canvas";
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
  const ends = (many: number, size: number) =>
    Array.from({ length: many + 1 }, (_, i) => Math.ceil((i * size) / many));
  const [across, down] = [ends(COLUMNS, width), ends(ROWS, height)];
  for (let row = 0; row < ROWS; row++) {
    const [first, end] = [down[row]! * width, down[row + 1]! * width];
    for (let column = 0; column < COLUMNS; column++)
      luma.fill(
        lit[row * COLUMNS + column] ? WHITE : BLACK,
        first + across[column]!,
        first + across[column + 1]!,
      );
    // One line of a row of cells is like the others.
    for (let at = first + width; at < end; at += width) luma.copyWithin(at, first, first + width);
  }
  return luma;
}

/**
 * The number painted in a picture.
 *
 * @param pixels 4 bytes a pixel, row by row, e.g. `ImageData.data`, or one, its luma
 * @throws when a cell is neither black nor white, the picture is turned or mirrored, or the check bits do not fit
 */
export function readPaintedNumber(
  pixels: ArrayLike<number>,
  width: number,
  height: number,
  bytesEach: 1 | 4 = 4,
): number {
  const [green, blue] = bytesEach === 4 ? [1, 2] : [0, 0];
  const lit: boolean[] = [];
  for (let row = 0; row < ROWS; row++) {
    for (let column = 0; column < COLUMNS; column++) {
      let sum = 0;
      let count = 0;
      // The middle third of the cell: its edges are blurred by compression.
      const [left, right] = [span(column, COLUMNS, width, 1), span(column, COLUMNS, width, 2)];
      const [top, bottom] = [span(row, ROWS, height, 1), span(row, ROWS, height, 2)];
      for (let y = top; y < bottom; y++) {
        for (let x = left; x < right; x++) {
          const at = bytesEach * (y * width + x);
          sum += (pixels[at]! + pixels[at + green]! + pixels[at + blue]!) / 3;
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
  const places = rotation !== 0 || mirrored ? shownAt(width, height, rotation, mirrored) : null;
  for (let n = from; n < from + frames && !child.stdin.destroyed; n++) {
    const luma = painted(n, width, height);
    const picture = places ? taken(luma, places) : luma;
    if (!child.stdin.write(picture)) await Promise.race([once(child.stdin, "drain"), ended]);
  }
  child.stdin.end();
  const [code] = await ended;
  if (code !== 0) throw new Error(`ffmpeg could not make ${file}: ${said}`);
  if (rotation !== 0 || mirrored) setRotation(file, rotation, mirrored, w, h);
  return file;
}

function taken(luma: Uint8Array, places: Uint32Array): Uint8Array {
  const picture = new Uint8Array(places.length);
  for (let i = 0; i < places.length; i++) picture[i] = luma[places[i]!]!;
  return picture;
}

/** For each pixel of the coded picture, row by row, which one of the displayed picture it is, turned clockwise by `rotation`. */
function shownAt(
  width: number,
  height: number,
  rotation: 0 | 90 | 180 | 270,
  mirrored: boolean,
): Uint32Array {
  const [w, h] = rotation % 180 === 0 ? [width, height] : [height, width];
  const places = new Uint32Array(width * height);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      // Where coded pixel (x, y) is displayed.
      const m = mirrored ? w - 1 - x : x;
      const [dx, dy] = { 0: [m, y], 90: [h - 1 - y, m], 180: [w - 1 - m, h - 1 - y], 270: [y, w - 1 - m] }[
        rotation
      ] as [number, number];
      places[y * w + x] = dy * width + dx;
    }
  }
  return places;
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
  return decoded(pictures, width * height * 4, ["-f", demuxer], "rgba").map((data) => ({
    data,
    width,
    height,
  }));
}

function decoded(
  pictures: readonly Uint8Array[],
  bytesEach: number,
  input: readonly string[],
  pixels: "rgba" | "gray",
): Uint8Array[] {
  const ended = spawnSync(
    FFMPEG,
    [
      ...["-v", "error", "-threads", "1", ...input, "-i", "pipe:0", "-vsync", "passthrough"],
      ...["-f", "rawvideo", "-pix_fmt", pixels, "pipe:1"],
    ],
    { input: Buffer.concat(pictures), maxBuffer: 2 ** 31 - 1 },
  );
  if (ended.status !== 0 || ended.stdout.length !== bytesEach * pictures.length)
    throw new Error(
      `${pictures.length} pictures of ${bytesEach} bytes: ${ended.stdout.length}. ${ended.stderr}`,
    );
  return pictures.map((_, i) => ended.stdout.subarray(i * bytesEach, (i + 1) * bytesEach));
}

/** The numbers painted in JPEGs of one size. */
export function numbersIn(pictures: readonly Uint8Array[], width: number, height: number): number[] {
  // Starting a program costs as much as drawing so many.
  if (width * height * pictures.length < 5e6)
    return pictures.map((jpeg) => readPaintedNumber(drawn(jpeg, width, height), width, height));
  // All at once they would be most of a gigabyte.
  const atOnce = Math.ceil(32e6 / (width * height));
  const numbers: number[] = [];
  for (let at = 0; at < pictures.length; at += atOnce)
    for (const luma of decoded(pictures.slice(at, at + atOnce), width * height, ["-f", "mjpeg"], "gray"))
      numbers.push(readPaintedNumber(luma, width, height, 1));
  return numbers;
}

function drawn(jpeg: Uint8Array, width: number, height: number): Uint8ClampedArray {
  const image = new Image();
  image.src = Buffer.from(jpeg);
  if (image.width !== width || image.height !== height)
    throw new Error(`a picture of ${image.width} x ${image.height}, not ${width} x ${height}`);
  const canvas = createCanvas(width, height);
  const context = canvas.getContext("2d");
  context.drawImage(image, 0, 0);
  return context.getImageData(0, 0, width, height).data;
}

let encoders: string | null = null;

/** Whether this machine's ffmpeg has an encoder. A Linux build's must have those we ask for. */
export function hasEncoder(name: string): boolean {
  encoders ??= spawnSync(FFMPEG, ["-hide_banner", "-encoders"], { encoding: "utf8" }).stdout ?? "";
  return isHere(new RegExp(`^ V\\S* ${name} `, "m").test(encoders), `no ${name} in this ffmpeg`);
}

export interface ProbedTimes {
  /**
   * Presentation times of the packets as the container lists them: those an edit list discards left out, sorted, the first
   * at 0.
   */
  readonly packets: readonly number[];
  /**
   * Presentation times of a plain decode, the first there is at 0; null where ffprobe has none (the last frames of an AVI,
   * Matroska before zero).
   */
  readonly frames: readonly (number | null)[];
}

/** What ffprobe reads of a clip's pictures, s; null where there is no ffprobe. */
export function probedTimes(file: string): ProbedTimes | null {
  const ended = spawnSync(
    "ffprobe",
    [
      ...["-v", "error", "-select_streams", "V:0", "-of", "json"],
      ...["-show_entries", "packet=pts,flags:frame=best_effort_timestamp:stream=time_base", `file:${file}`],
    ],
    { encoding: "utf8", maxBuffer: 2 ** 28 },
  );
  if (!isHere(ended.status === 0, "no ffprobe here")) return null;
  const { packets_and_frames: all, streams } = JSON.parse(ended.stdout) as {
    packets_and_frames: (
      | { type: "packet"; pts: number; flags: string }
      | { type: "frame"; best_effort_timestamp?: number }
    )[];
    streams: { time_base: string }[];
  };
  const [num = 0, den = 1] = streams[0]!.time_base.split("/").map(Number);
  const seconds = (pts: number, from: number) => ((pts - from) * num) / den;
  const packets = all.flatMap((p) => (p.type === "packet" && !p.flags.includes("D") ? [p.pts] : []));
  packets.sort((a, b) => a - b);
  const frames = all.flatMap((f) => (f.type === "frame" ? [f.best_effort_timestamp ?? null] : []));
  const first = frames.find((p) => p !== null) ?? 0;
  return {
    packets: packets.map((p) => seconds(p, packets[0]!)),
    frames: frames.map((p) => (p === null ? null : seconds(p, first))),
  };
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
