import { checkClipFile, nothingDecoded } from "./clipFailure.ts";
import { displayedSize, startDecode } from "./decode.ts";
import type { DecodedFrame } from "./decodeLog.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";
import { type ClipWarning, clipWarnings, frameTimes } from "./frameTimes.ts";

/** Everything `frames --json` says; `times` in seconds, first = 0, one a decodable frame in display order. */
export interface FrameIndex {
  readonly count: number;
  readonly times: readonly number[];
  readonly width: number;
  readonly height: number;
  readonly rotation: 0 | 90 | 180 | 270;
  readonly codec: string;
  readonly rateMedianHz: number | null;
  readonly variableRate: boolean;
  readonly warnings: readonly ClipWarning[];
}

/**
 * The exact frame index of a clip, by one decode of all of it.
 *
 * @throws {MeasureError} when the file is missing, is no video, or not one frame can be decoded
 */
export async function frameIndex(ffmpeg: Ffmpeg, file: string): Promise<FrameIndex> {
  await checkClipFile(file);
  const frames: DecodedFrame[] = [];
  const decode = startDecode(ffmpeg, {
    file,
    filters: "",
    output: ["-f", "null", "-"],
    onFrame: (frame) => frames.push(frame),
  });
  decode.output.resume();
  decode.packets.resume();
  const { log } = await decode.ended;
  const first = frames[0];
  if (!first || !log.timebase) throw await nothingDecoded(file, log);
  const { width, height } = displayedSize(first);
  const other = frames.findIndex(
    (f) => displayedSize(f).width !== width || displayedSize(f).height !== height,
  );
  const pts = frames.slice(0, other < 0 ? frames.length : other).map((f) => f.pts);
  const { times, rateMedianHz, variableRate, warnings } = frameTimes(pts, log.timebase);
  const odd = [
    ...warnings,
    ...clipWarnings(log.facts, log.problems, times.length, times.at(-1) ?? 0, rateMedianHz),
  ];
  if (other >= 0) odd.push(sizeChanges(times.length));
  return {
    count: times.length,
    times,
    width,
    height,
    rotation: log.facts.rotation,
    codec: log.facts.codec,
    rateMedianHz,
    variableRate,
    warnings: odd,
  };
}

/** The clip is used up to the frame before its picture changes size. */
export function sizeChanges(count: number): ClipWarning {
  return {
    code: "size-changes",
    text: `After frame ${count - 1} the picture changes its size. The frames after it are left out, because marks there would not fit the same scale.`,
  };
}
