import type { Page } from "playwright";
import type { BenchClip } from "./benchClips.ts";
import type { Timed } from "./benchWindow.ts";

/** What a worker of its own does when it is told an address: fetches it, decodes it in fewer pixels, then in all of them. */
const WORKER = `
onmessage = ({ data }) => frame(data).catch((failure) => postMessage(String(failure)));
const frame = async ({ url, width, height }) => {
  const answer = await fetch(url, { cache: "no-store" });
  if (!answer.ok) throw new Error("the host answered " + answer.status + " for " + url);
  const bytes = await answer.arrayBuffer();
  if (self.ImageDecoder) {
    const decoder = new ImageDecoder({ data: bytes, type: "image/jpeg", desiredWidth: width, desiredHeight: height });
    const { image } = await decoder.decode();
    const few = await createImageBitmap(image);
    image.close();
    decoder.close();
    postMessage("few", { transfer: [few] });
  }
  const all = await createImageBitmap(new Blob([bytes], { type: "image/jpeg" }));
  postMessage("all", { transfer: [all] });
};`;

/**
 * From asking a worker in the same page for a frame to its picture, without a window that draws: what a jump costs at least.
 * Taken between jumps, so that both meet the same machine.
 */
export function workerAlone(page: Page, clip: BenchClip, frame: number): Promise<Timed> {
  const by = 4;
  const asked = {
    // The window lies at a path of its own.
    url: `api/clips/bench/frames/${frame}`,
    width: Math.ceil(clip.width / by),
    height: Math.ceil(clip.height / by),
  };
  return page.evaluate(
    async ({ code, asked }) => {
      const kept = window as unknown as { alone?: Worker };
      kept.alone ??= new Worker(URL.createObjectURL(new Blob([code], { type: "text/javascript" })));
      const worker = kept.alone;
      const begun = performance.now();
      worker.postMessage({ ...asked, url: new URL(asked.url, document.baseURI).href });
      let first = Number.NaN;
      const done = await new Promise<number>((resolve, reject) => {
        worker.onmessage = ({ data }) => {
          if (data !== "few" && data !== "all") return reject(new Error(data));
          if (Number.isNaN(first)) first = performance.now() - begun;
          if (data === "all") resolve(performance.now() - begun);
        };
      });
      return { ms: first, wholeMs: done };
    },
    { code: WORKER, asked },
  );
}
