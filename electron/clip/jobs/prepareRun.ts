import { boundedLines } from "../ffmpeg/boundedLines.ts";
import { displayedSize, SQUARE, startDecode } from "../ffmpeg/decode.ts";
import type { DecodedFrame, DecodeLog, Problem } from "../ffmpeg/decodeLog.ts";
import type { Ffmpeg } from "../ffmpeg/findFfmpeg.ts";
import { stated } from "../ffmpeg/stated.ts";
import { FramePairing } from "../store/framePairing.ts";
import type { FrameStore } from "../store/frameStore.ts";
import { clipFacts } from "../store/frameTimes.ts";
import { JpegHashes } from "../store/jpegHashes.ts";
import type { CleanStart, PacketPlan } from "./packetPlan.ts";
import { whileReading } from "./whileReading.ts";

/** JPEG quality of the store: about 300 kB a 1080p frame, a marked edge moves by far less than a marking SD. */
const QUALITY = "3";

/** Frames `from` … `until`-1 (null = to the clip's end), decoded from the clip's start or from a clean start before `from`. */
export interface Stretch {
  readonly from: number;
  readonly until: number | null;
  readonly start: CleanStart | null;
}

export type RunEnd =
  /** Everything asked for is in the store. */
  | "done"
  /** The clip ended; its number of frames is in the store. */
  | "end-of-clip"
  | "interrupted"
  /** What came does not fit what the packets or an earlier decode said. */
  | "differs";

export interface RunHooks {
  readonly signal: AbortSignal;
  /** After every batch of frames that can now be shown. */
  readonly onReady: (next: number) => void;
}

/** One ffmpeg run that puts a stretch of frames into the store; they can be read while the rest still comes. */
export async function prepareRun(
  ffmpeg: Ffmpeg,
  file: string,
  store: FrameStore,
  plan: PacketPlan | null,
  stretch: Stretch,
  { signal, onReady }: RunHooks,
): Promise<{ readonly end: RunEnd; readonly log: DecodeLog }> {
  const [header] = await Promise.all([stated(file), store.trim()]);
  const { from, until, start } = stretch;
  store.decoder ??= ffmpeg.version;
  const pairing = new FramePairing(from, store.bytes, start?.ordinal ?? 0);
  const hashes = new JpegHashes();
  let differs = false;
  let sizeChange = false;
  let leading = 0;
  /** Times of frames that are not prepared now, so that every frame's time is known up to where it is. */
  const timesOnly: string[] = [];

  const decode = startDecode(ffmpeg, {
    file,
    stated: header,
    signal,
    ...(start && plan ? { seekTo: seekTime(plan, start) } : {}),
    filters: `${cut(stretch, plan)}${SQUARE},format=yuvj420p,settb=1/1000,setpts=N`,
    output: [
      // Packets are timed by their ordinal from `from`, so the list on descriptor 3 says which frame each JPEG is.
      ...["-enc_time_base", "1:1000", "-c:v", "mjpeg", "-q:v", QUALITY, "-f", "tee"],
      "[f=image2pipe]pipe:1|[f=framecrc:flush_packets=1]pipe:3",
    ],
    onFrame(frame) {
      if (sizeChange || differs) return;
      // Shown before the clean start: the end of the group before it.
      if (start && pairing.timesSeen === start.ordinal && (frame.pts ?? start.pts) < start.pts) {
        leading += 1;
        return;
      }
      const ordinal = pairing.timesSeen;
      if (until !== null && ordinal >= until) return;
      if (changesSize(frame)) {
        // From a clean start nobody can tell how many frames come before; from the clip's start it ends here.
        // It is left to run on: frames before it may still be on their way through the encoder.
        if (start) differ();
        else sizeChange = true;
        return;
      }
      if (!fits(frame, ordinal)) return differ();
      pairing.addTime(frame.pts, frame.key);
      if (ordinal < from && store.times.length === ordinal) rememberTime(frame.pts);
      describe(frame);
    },
  });
  // At once: what comes before somebody listens is lost.
  const packetsRead = boundedLines(decode.packets, (text) => {
    const fields = text.split(",");
    if (fields[0] === "0") pairing.addPacket(from + Number(fields[2]), Number(fields[4]));
  });

  const { log } = decode;

  function differ(): void {
    differs = true;
    decode.kill();
  }

  function changesSize(frame: DecodedFrame): boolean {
    const now = displayedSize(frame);
    return store.clip !== null && (now.width !== store.clip.width || now.height !== store.clip.height);
  }

  function fits(frame: DecodedFrame, ordinal: number): boolean {
    const stored = store.times[ordinal];
    if (stored !== undefined && stored !== frame.pts) return false;
    return !plan?.pts || plan.pts[ordinal] === frame.pts;
  }

  function describe(frame: DecodedFrame): void {
    if (store.clip || !log.timebase) return;
    store.clip = {
      facts: clipFacts(header, log),
      timebase: log.timebase,
      ...displayedSize(frame),
      problems: [],
      endsAtSizeChange: false,
      count: null,
      packets: plan?.counts ?? null,
    };
  }

  function rememberTime(pts: number | null): void {
    timesOnly.push(store.timeLine(store.times.length, pts));
    store.times.push(pts);
  }

  const pictures = await store.disk.open(store.picturesPath, "append");
  const list = await store.disk.open(store.listPath, "append");
  let saved = store.prepared > 0;
  if (start && plan?.pts) for (const pts of plan.pts.slice(store.times.length, from)) rememberTime(pts);

  async function settle(paired = pairing.takeReady()): Promise<void> {
    if (paired.length === 0) return;
    const ready = paired.map((frame) => ({ ...frame, hash: hashes.take(frame.length) }));
    if (!saved) await store.saveState("partial");
    saved = true;
    await list.appendFile(
      timesOnly.splice(0).join("") + ready.map((frame) => store.listLine(frame)).join(""),
    );
    store.add(ready);
    onReady(pairing.next);
  }

  try {
    // Read on while the last part is being written, so that ffmpeg seldom waits for the disk.
    await whileReading(decode.output, async (part) => {
      await pictures.appendFile(part);
      hashes.add(part);
      pairing.addBytes(part.length);
      await settle();
    });
    await Promise.all([decode.ended, packetsRead]);
    await settle();
    keepProblems();
    return { end: await howItEnded(), log };
  } finally {
    decode.kill();
    await decode.ended.catch(() => undefined);
    await pictures.close();
    await list.close();
  }

  /** Numbered from the run's own first frame; a run from the clip's start has heard everything again. */
  function keepProblems(): void {
    if (!store.clip) return;
    const shift = start ? start.ordinal - leading : 0;
    const heard = log.problems.map((p) => ({
      ...p,
      nearFrame: p.nearFrame === null ? null : Math.max(start?.ordinal ?? 0, p.nearFrame + shift),
    }));
    store.clip = {
      ...store.clip,
      facts: start ? store.clip.facts : clipFacts(header, log),
      problems: merged(store.clip.problems, heard),
    };
  }

  async function howItEnded(): Promise<RunEnd> {
    if (differs) return "differs";
    if (signal.aborted) return "interrupted";
    if (until !== null && pairing.timesSeen >= until) {
      await settle(pairing.takeRest(until));
      return "done";
    }
    const count = pairing.timesSeen;
    const rest = pairing.takeRest();
    // A frame missing at the end of a continued run cannot be told from a filter that started counting again.
    if (rest.length > 0 && from > 0) return "differs";
    if (plan?.pts && count !== plan.pts.length) return "differs";
    // Frames were shown beyond what a decode from the start reaches.
    if (!start && store.frames.length > count) return "differs";
    await settle(rest);
    if (store.clip)
      store.clip = { ...store.clip, facts: clipFacts(header, log), count, endsAtSizeChange: sizeChange };
    return "end-of-clip";
  }
}

/** Lets through the frames of the stretch: by number from the clip's start, by time from a clean start. */
function cut({ from, until, start }: Stretch, plan: PacketPlan | null): string {
  if (start && plan?.pts) {
    const end = until === null ? "" : `:end_pts=${plan.pts[until - 1]! + 1}`;
    // Nothing may be left but to see that the clip ends there.
    const begin = plan.pts[from] ?? plan.pts.at(-1)! + 1;
    return `trim=start_pts=${begin}${end},`;
  }
  if (from === 0 && until === null) return "";
  return `trim=start_frame=${from}${until === null ? "" : `:end_frame=${until}`},`;
}

/** Half a frame after the clean start, so that rounding cannot lead to the key frame before it. */
function seekTime({ pts, timebase: { num, den } }: PacketPlan, { ordinal, pts: at }: CleanStart): number {
  const next = pts?.[ordinal + 1] ?? at;
  return ((at + (next - at) / 2) * num) / den;
}

/** One a frame is enough: a damaged picture says a hundred things. */
function merged(before: readonly Problem[], heard: readonly Problem[]): Problem[] {
  const all = new Map([...heard, ...before].reverse().map((p) => [p.nearFrame, p]));
  return [...all.values()].sort((a, b) => (a.nearFrame ?? -1) - (b.nearFrame ?? -1));
}
