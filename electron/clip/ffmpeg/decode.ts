import type { HandTurn } from "../../../src/study/types.ts";
import { type DecodedFrame, namedFilter, secretName } from "./decodeLog.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";
import type { Turn } from "./headerParts.ts";
import { type FfmpegRun, runFfmpeg } from "./runFfmpeg.ts";
import type { Stated } from "./stated.ts";

/** Non-square pixels become square by this filter and by `displayedSize` alike: the width follows, rows stay. */
export const SQUARE = "scale=w='max(1\\,round(iw*sar))':h=ih:out_range=full:out_color_matrix=bt601,setsar=1";

/** Filters that turn a picture of square pixels as a person asks, degrees clockwise; to stand right after `SQUARE`. */
export function byHand(turn: 0 | HandTurn): string {
  return { 0: "", 90: ",transpose=clock", 180: ",hflip,vflip", 270: ",transpose=cclock" }[turn];
}

/** The picture as displayed: square pixels, rotation already applied by the decode; then turned by hand. */
export function displayedSize(
  frame: DecodedFrame,
  turn: 0 | HandTurn = 0,
): { readonly width: number; readonly height: number } {
  const [width, height] = [Math.max(1, Math.round(frame.width * frame.pixelAspect)), frame.height];
  return turn === 90 || turn === 270 ? { width: height, height: width } : { width, height };
}

/**
 * Input options and filters that turn the picture for display. ffmpeg does it by itself, but for mirrored ones: some
 * builds mirror them, some turn them upside down.
 */
export function turning({ rotation, mirrored }: Turn): {
  readonly input: readonly string[];
  readonly filters: string;
} {
  if (!mirrored) return { input: [], filters: "" };
  const turn = { 0: "", 90: "transpose=clock,", 180: "hflip,vflip,", 270: "transpose=cclock," }[rotation];
  return { input: ["-noautorotate"], filters: `hflip,${turn}` };
}

export interface DecodeRequest {
  readonly file: string;
  readonly stated: Stated;
  /** Seconds, the file's own time: where to begin reading, at the key frame before it. Absent = at the start. */
  readonly seekTo?: number | undefined;
  /** Filters after the one that prints the times, joined by commas; empty = none. */
  readonly filters: string;
  /** Everything after the filters: codec, format, destination. */
  readonly output: readonly string[];
  readonly onFrame: (frame: DecodedFrame) => void;
  readonly signal?: AbortSignal | undefined;
}

/** One decode of a clip, in order. From the start, the n-th frame printed is frame n. */
export function startDecode(ffmpeg: Ffmpeg, request: DecodeRequest): FfmpegRun {
  const { file, stated, seekTo, filters, output, onFrame, signal } = request;
  const timesName = secretName();
  const turned = turning(stated);
  const seek =
    seekTo === undefined ? [] : ["-noaccurate_seek", "-seek_timestamp", "1", "-ss", seekTo.toFixed(6)];
  const chain = `${turned.filters}${namedFilter(ffmpeg.showTimes, timesName)}${filters ? `,${filters}` : ""}`;
  return runFfmpeg(ffmpeg, {
    file,
    container: stated.container,
    timesName,
    onFrame,
    signal,
    input: [...turned.input, ...seek],
    output: ["-vf", chain, ...ffmpeg.passThrough, ...output],
  });
}
