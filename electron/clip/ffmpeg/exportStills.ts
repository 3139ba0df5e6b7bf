import type { HandTurn } from "../../../src/study/types.ts";
import { byHand, SQUARE, turning } from "./decode.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";
import { runFfmpeg } from "./runFfmpeg.ts";
import { stated } from "./stated.ts";

export interface Crop {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** How a JPEG ends and the next begins; neither can be inside one. */
const BETWEEN = Buffer.from([0xff, 0xd9, 0xff, 0xd8]);

/**
 * A part of exactly the frames `frames` of a clip as JPEG, by frame. The clip is decoded once, from its start; nothing
 * seeks.
 *
 * @returns without the frames that the clip does not have or that cannot be decoded
 */
export async function exportStills(
  ffmpeg: Ffmpeg,
  file: string,
  frames: readonly number[],
  { x, y, width, height }: Crop,
  turn: 0 | HandTurn = 0,
): Promise<ReadonlyMap<number, Buffer>> {
  const header = await stated(file);
  const turned = turning(header);
  const wanted = [...new Set(frames)].sort((a, b) => a - b);
  const select = wanted.map((n) => `eq(n\\,${n})`).join("+");
  const parts: Buffer[] = [];
  const run = runFfmpeg(ffmpeg, {
    file,
    container: header.container,
    input: turned.input,
    onFrame: () => undefined,
    output: [
      ...[
        "-vf",
        `${turned.filters}select='${select}',${SQUARE}${byHand(turn)},crop=${width}:${height}:${x}:${y}`,
      ],
      ...[...ffmpeg.passThrough, "-frames:v", String(wanted.length)],
      ...["-c:v", "mjpeg", "-q:v", "3", "-f", "image2pipe", "pipe:1"],
    ],
  });
  for await (const part of run.output as AsyncIterable<Buffer>) parts.push(part);
  // A still that can't be made leaves its drawing without a picture; the report says so.
  await run.ended.catch(() => undefined);
  const pictures = separated(Buffer.concat(parts));
  return new Map(pictures.map((jpeg, k) => [wanted[k]!, jpeg]));
}

function separated(stream: Buffer): Buffer[] {
  const pictures: Buffer[] = [];
  let from = 0;
  while (from < stream.length) {
    const at = stream.indexOf(BETWEEN, from);
    const end = at < 0 ? stream.length : at + 2;
    pictures.push(stream.subarray(from, end));
    from = end;
  }
  return pictures;
}
