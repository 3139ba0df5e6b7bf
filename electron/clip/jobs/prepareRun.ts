import { boundedLines } from "../ffmpeg/boundedLines.ts";
import { byHand, SQUARE, startDecode } from "../ffmpeg/decode.ts";
import type { DecodeLog } from "../ffmpeg/decodeLog.ts";
import type { Ffmpeg } from "../ffmpeg/findFfmpeg.ts";
import { stated } from "../ffmpeg/stated.ts";
import type { FrameStore } from "../store/frameStore.ts";
import { HeardFrames, type RunEnd } from "./heardFrames.ts";
import { KeptFrames } from "./keptFrames.ts";
import type { PacketPlan } from "./packetPlan.ts";
import { cut, type Stretch, seekTime } from "./stretch.ts";
import { whileReading } from "./whileReading.ts";

/** JPEG quality of the store: about 300 kB a 1080p frame, a marked edge moves by far less than a marking SD. */
const QUALITY = "3";

export interface RunHooks {
  readonly signal: AbortSignal;
  /** After every batch of frames that can now be shown. */
  readonly onReady: (next: number) => void;
}

/** A clip's file, what reads it, and where its frames go. */
export interface StoredClip {
  readonly ffmpeg: Ffmpeg;
  readonly file: string;
  readonly store: FrameStore;
}

/** One ffmpeg run that puts a stretch of frames into the store; they can be read while the rest still comes. */
export async function prepareRun(
  clip: StoredClip,
  plan: PacketPlan | null,
  stretch: Stretch,
  hooks: RunHooks,
): Promise<{ readonly end: RunEnd; readonly log: DecodeLog }> {
  const { file, store, ffmpeg } = clip;
  const [header] = await Promise.all([stated(file), store.trim()]);
  store.decoder ??= ffmpeg.version;
  const heard = new HeardFrames(store, header, plan, stretch);
  const decode = startDecode(ffmpeg, {
    file,
    stated: header,
    signal: hooks.signal,
    ...(stretch.start && plan ? { seekTo: seekTime(plan, stretch.start) } : {}),
    filters: `${cut(stretch, plan)}${SQUARE}${byHand(store.turn)},format=yuvj420p,settb=1/1000,setpts=N`,
    output: [
      // Packets are timed by their ordinal from `from`, so the list on descriptor 3 says which frame each JPEG is.
      ...["-enc_time_base", "1:1000", "-c:v", "mjpeg", "-q:v", QUALITY, "-f", "tee"],
      "[f=image2pipe]pipe:1|[f=framecrc:flush_packets=1]pipe:3",
    ],
    onFrame(frame) {
      if (heard.differs) return;
      heard.take(frame, decode.log);
      if (heard.differs) decode.kill();
    },
  });
  // At once: what comes before somebody listens is lost.
  const packetsRead = boundedLines(decode.packets, (text) => {
    const fields = text.split(",");
    if (fields[0] === "0") heard.pairing.addPacket(stretch.from + Number(fields[2]), Number(fields[4]));
  });
  const pictures = await store.disk.open(store.picturesPath, "append");
  const list = await store.disk.open(store.listPath, "append");
  const kept = new KeptFrames(store, heard, list, hooks.onReady);
  heard.rememberPlanned();
  try {
    // Read on while the last part is being written, so that ffmpeg seldom waits for the disk.
    await whileReading(decode.output, async (part) => {
      await pictures.appendFile(part);
      await kept.add(part);
    });
    await Promise.all([decode.ended, packetsRead]);
    await kept.settle(heard.pairing.takeReady());
    heard.keepProblems(decode.log);
    const { end, rest } = heard.ended(hooks.signal.aborted);
    await kept.settle(rest);
    if (end === "end-of-clip") heard.keepCount(decode.log);
    return { end, log: decode.log };
  } finally {
    decode.kill();
    await decode.ended.catch(() => undefined);
    await pictures.close();
    await list.close();
  }
}
