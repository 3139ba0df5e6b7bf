import type { DecodedFrame } from "./decodeLog.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";
import { type FfmpegRun, runFfmpeg } from "./runFfmpeg.ts";

/** Non-square pixels become square by this filter and by `displayedSize` alike: the width follows, rows stay. */
export const SQUARE = "scale=w='max(1\\,round(iw*sar))':h=ih:out_range=full:out_color_matrix=bt601,setsar=1";

/** The picture as displayed: square pixels, rotation already applied by the decode. */
export function displayedSize(frame: DecodedFrame): { readonly width: number; readonly height: number } {
  return { width: Math.max(1, Math.round(frame.width * frame.pixelAspect)), height: frame.height };
}

export interface DecodeRequest {
  readonly file: string;
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
  const { file, seekTo, filters, output, onFrame, signal } = request;
  const chain = filters ? `${ffmpeg.showTimes},${filters}` : ffmpeg.showTimes;
  return runFfmpeg(ffmpeg, {
    file,
    input: seekTo === undefined ? [] : ["-noaccurate_seek", "-seek_timestamp", "1", "-ss", seekTo.toFixed(6)],
    output: ["-vf", chain, ...ffmpeg.passThrough, ...output],
    onFrame,
    signal,
  });
}
