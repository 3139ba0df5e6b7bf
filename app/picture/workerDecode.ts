import type { DecodeAnswer, DecodeRequest } from "./decodeWorker.ts";
import type { DecodeFrame } from "./FrameSource.ts";

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
  const waiting = new Map<number, { resolve: (a: DecodeAnswer) => void; reject: (e: Error) => void }>();
  let next = 1;

  worker.onmessage = ({ data }: MessageEvent<DecodeAnswer>) => {
    waiting.get(data.id)?.resolve(data);
    waiting.delete(data.id);
  };
  worker.onerror = (event) => {
    for (const { reject } of waiting.values())
      reject(new Error(event.message || "The picture decoder stopped."));
    waiting.clear();
  };

  const decode: DecodeFrame<ImageBitmap> = async (url, signal) => {
    const id = next++;
    const ask = (request: DecodeRequest) => worker.postMessage(request);
    signal.addEventListener("abort", () => ask({ id }), { once: true });
    const answer = await new Promise<DecodeAnswer>((resolve, reject) => {
      waiting.set(id, { resolve, reject });
      ask({ id, url });
    });
    if ("error" in answer) throw new Error(answer.error);
    return answer;
  };
  return { decode, stop: () => worker.terminate() };
}
