import type { Warning } from "../../../src/reading.ts";
import { checkClipFile, nothingDecoded } from "../ffmpeg/clipFailure.ts";
import { displayedSize, startDecode } from "../ffmpeg/decode.ts";
import type { DecodedFrame } from "../ffmpeg/decodeLog.ts";
import type { Ffmpeg } from "../ffmpeg/findFfmpeg.ts";
import { stated } from "../ffmpeg/stated.ts";
import { packetPlan } from "../jobs/packetPlan.ts";
import { doubtfulFrames } from "./doubtful.ts";
import { beginsAt, clipFacts, clipWarnings, frameTimes } from "./frameTimes.ts";

/** Everything `frames --json` says; `times` in seconds, first = 0, one a decodable frame in display order. */
export interface FrameIndex {
  readonly count: number;
  readonly times: readonly number[];
  readonly width: number;
  readonly height: number;
  readonly rotation: 0 | 90 | 180 | 270;
  /** Shown as in a mirror, because the file asks for it. */
  readonly mirrored: boolean;
  readonly codec: string;
  readonly rateMedianHz: number | null;
  readonly variableRate: boolean;
  readonly warnings: readonly Warning[];
}

/**
 * The exact frame index of a clip, by one decode of all of it.
 *
 * @throws {MeasureError} when the file is missing, is no video, or not one frame can be decoded
 */
export async function frameIndex(ffmpeg: Ffmpeg, file: string): Promise<FrameIndex> {
  await checkClipFile(file);
  const frames: DecodedFrame[] = [];
  const header = await stated(file);
  const decode = startDecode(ffmpeg, {
    file,
    stated: header,
    filters: "",
    output: ["-f", "null", "-"],
    onFrame: (frame) => frames.push(frame),
  });
  decode.output.resume();
  const { log } = await decode.ended;
  const first = frames[0];
  if (!first || !log.timebase) throw await nothingDecoded(file, log);
  const plan = await packetPlan(ffmpeg, file, { stated: header, interlaced: log.interlaced });
  const { width, height } = displayedSize(first);
  const other = frames.findIndex(
    (f) => displayedSize(f).width !== width || displayedSize(f).height !== height,
  );
  const shown = frames.slice(0, other < 0 ? frames.length : other);
  const { times, rateMedianHz, variableRate, warnings } = frameTimes(
    shown.map((f) => f.pts),
    log.timebase,
  );
  const count = times.length;
  const { problems } = log;
  const facts = clipFacts(header, log);
  const doubtful = doubtfulFrames(problems, shown, count);
  const found = {
    facts,
    problems,
    doubtful,
    count,
    known: count,
    lastTime: times.at(-1) ?? 0,
    rateMedianHz,
    begins: beginsAt(first.pts, log.timebase),
    packets: other < 0 ? plan.counts : { ...plan.counts, shown: null },
  };
  return {
    count,
    times,
    width,
    height,
    rotation: facts.rotation,
    mirrored: facts.mirrored,
    codec: plan.counts.codec,
    rateMedianHz,
    variableRate,
    warnings: [...warnings, ...clipWarnings(found), ...(other < 0 ? [] : [sizeChanges(count)])],
  };
}

/** The clip is used up to the frame before its picture changes size. */
export function sizeChanges(count: number): Warning {
  return {
    code: "size-changes",
    text: `After frame ${count - 1} the picture changes its size. The frames after it are left out, because marks there would not fit the same scale.`,
  };
}
