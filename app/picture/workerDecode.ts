import type { DecodeAnswer, DecodeRequest } from "./decodeWorker.ts";
import type { Decoded, DecodeFrame } from "./FrameSource.ts";

const newWorker = () => new Worker(new URL("./decodeWorker.ts", import.meta.url), { type: "module" });

/** Started before there is a picture to decode, for the next `startDecoder`. */
let spare: Worker | null = null;

/** Has a worker ready by the time the first frame comes: its start costs a tenth of a second. */
export function warmDecoder(): void {
  spare ??= newWorker();
}

/** Starts the decoding worker; `stop` ends it. */
export function startDecoder(): { decode: DecodeFrame<ImageBitmap>; stop(): void } {
  const worker = spare ?? newWorker();
  spare = null;
  interface Waiting {
    resolve(whole: Decoded<ImageBitmap>): void;
    reject(error: Error): void;
    early?: ((coarse: Decoded<ImageBitmap>) => void) | undefined;
  }
  const waiting = new Map<number, Waiting>();
  let next = 1;

  worker.onmessage = ({ data }: MessageEvent<DecodeAnswer>) => {
    const asked = waiting.get(data.id);
    if (!("error" in data) && !data.whole) return asked?.early?.(data);
    waiting.delete(data.id);
    if ("error" in data) asked?.reject(new Error(data.error));
    else asked?.resolve(data);
  };
  worker.onerror = (event) => {
    for (const { reject } of waiting.values())
      reject(new Error(event.message || "The picture decoder stopped."));
    waiting.clear();
  };

  const decode: DecodeFrame<ImageBitmap> = (url, signal, early) => {
    const id = next++;
    const ask = (request: DecodeRequest) => worker.postMessage(request);
    signal.addEventListener("abort", () => ask({ id }), { once: true });
    return new Promise((resolve, reject) => {
      waiting.set(id, { resolve, reject, early: early?.take });
      ask({ id, url, coarse: early && { width: early.width, height: early.height, by: early.by } });
    });
  };
  return { decode, stop: () => worker.terminate() };
}
