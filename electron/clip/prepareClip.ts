import { open } from "node:fs/promises";
import { createInterface } from "node:readline";
import { MeasureError } from "../../src/errors.ts";
import { nothingDecoded } from "./clipFailure.ts";
import { displayedSize, SQUARE, startDecode } from "./decode.ts";
import type { DecodedFrame } from "./decodeLog.ts";
import type { Ffmpeg } from "./findFfmpeg.ts";
import { FramePairing } from "./framePairing.ts";
import { type FrameStore, listLine } from "./frameStore.ts";

/** JPEG quality of the store: about 300 kB a 1080p frame, a marked edge moves by far less than a marking SD. */
const QUALITY = "3";

export type PrepareResult = "complete" | "interrupted";

/**
 * Decodes a clip once, in order, into its store; frames can be read from the store while the rest still comes.
 * An interrupted store is gone on with after its last whole frame: the decode starts from the beginning all the
 * same, so that every frame is the one a single run would give, and only the encoding is saved.
 *
 * @throws {MeasureError} when not one frame can be decoded, or the disk is full
 */
export async function prepareClip(
  ffmpeg: Ffmpeg,
  file: string,
  store: FrameStore,
  signal: AbortSignal,
): Promise<PrepareResult> {
  const result = await decodeInto(ffmpeg, file, store, signal);
  if (result !== "differs") return result;
  await store.clear();
  const again = await decodeInto(ffmpeg, file, store, signal);
  if (again === "differs") throw new Error(`two decodes of ${file} from its start gave different times`);
  return again;
}

async function decodeInto(
  ffmpeg: Ffmpeg,
  file: string,
  store: FrameStore,
  signal: AbortSignal,
): Promise<PrepareResult | "differs"> {
  if (signal.aborted) return "interrupted";
  await store.trim();
  const start = store.frames.length;
  const pairing = new FramePairing(start, store.bytes);
  let first: DecodedFrame | null = null;
  let differs = false;
  let sizeChange = false;

  const decode = startDecode(ffmpeg, {
    file,
    // Packets are timed by their ordinal from `start`, so the list on descriptor 3 says which frame each JPEG is.
    filters: `${start > 0 ? `select='gte(n\\,${start})',` : ""}${SQUARE},format=yuvj420p,settb=1/1000,setpts=N`,
    output: [
      ...["-enc_time_base", "1:1000", "-c:v", "mjpeg", "-q:v", QUALITY, "-f", "tee"],
      "[f=image2pipe]pipe:1|[f=framecrc:flush_packets=1]pipe:3",
    ],
    onFrame(frame) {
      if (sizeChange || differs) return;
      first ??= frame;
      const [now, before] = [displayedSize(frame), displayedSize(first)];
      if (now.width !== before.width || now.height !== before.height) {
        // Left to run on: frames before it may still be on their way through the encoder.
        sizeChange = true;
        return;
      }
      const stored = store.frames[pairing.timesSeen];
      if (pairing.timesSeen < start && stored?.pts !== frame.pts) {
        differs = true;
        return decode.kill();
      }
      pairing.addTime(frame.pts);
      describe(frame);
    },
  });
  const { log } = decode;
  const stop = () => decode.kill();
  signal.addEventListener("abort", stop, { once: true });

  function describe(frame: DecodedFrame): void {
    if (store.clip || !log.timebase) return;
    store.clip = {
      facts: log.facts,
      timebase: log.timebase,
      ...displayedSize(frame),
      problems: [],
      endsAtSizeChange: false,
    };
  }

  const pictures = await open(store.picturesPath, "a");
  const list = await open(store.listPath, "a");
  let described = start > 0;

  async function settle(): Promise<void> {
    const ready = pairing.takeReady();
    if (ready.length === 0) return;
    if (!described) {
      await store.saveState("partial");
      described = true;
    }
    await list.appendFile(ready.map(listLine).join(""));
    store.frames.push(...ready);
  }

  const packets = createInterface({ input: decode.packets });
  packets.on("line", (text) => {
    const fields = text.split(",");
    if (fields[0] === "0") pairing.addPacket(start + Number(fields[2]), Number(fields[4]));
  });
  const packetsRead = new Promise<void>((resolve) => packets.on("close", resolve));

  try {
    for await (const chunk of decode.output as AsyncIterable<Buffer>) {
      await pictures.appendFile(chunk);
      pairing.addBytes(chunk.length);
      await settle();
    }
    await Promise.all([decode.ended, packetsRead]);
    await settle();
    if (differs) return "differs";
    if (signal.aborted) return "interrupted";
    const rest = pairing.takeRest();
    // A frame missing at the end of a continued run cannot be told from a filter that started counting again.
    if (rest.length > 0 && start > 0) return "differs";
    await list.appendFile(rest.map(listLine).join(""));
    store.frames.push(...rest);
    if (store.frames.length === 0 || !store.clip) throw await nothingDecoded(file, log);
    store.clip = {
      ...store.clip,
      facts: log.facts,
      problems: log.problems.slice(0, 50),
      endsAtSizeChange: sizeChange,
    };
    await store.saveState("complete");
    return "complete";
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOSPC") {
      throw new MeasureError(
        "disk-full",
        `no space left for the frame store ${store.folder}`,
        `The disk with the study is full, so the clip could be prepared only up to frame ${store.frames.length - 1}. Free some space (about 0.3 MB a frame), then prepare it again.`,
      );
    }
    throw error;
  } finally {
    signal.removeEventListener("abort", stop);
    decode.kill();
    await decode.ended.catch(() => undefined);
    await pictures.close();
    await list.close();
  }
}
