import { MeasureError } from "../../src/errors.ts";
import type { BackgroundNews } from "../../src/study/exchange.ts";
import { trialLabel } from "../../src/study/labels.ts";
import { viewWithId } from "../../src/study/trialViews.ts";
import type { Preparation } from "../clip/jobs/preparation.ts";
import { wholeClip } from "../clip/jobs/wholeClip.ts";
import { compareApart } from "../motion/compareApart.ts";
import type { Vault } from "../vault/Vault.ts";
import { sourceOf } from "./clips.ts";
import { reply } from "./replies.ts";

/** Frames looked at of each clip, its first and last among them. */
const FRAMES = 8;
/** A person sees no more than ten a second. */
const TELL_EVERY_MS = 100;

/** Compares the backgrounds of two trials' clips, line by line how far it is; whoever stops listening stops it. */
export function backgroundRoutes(vault: Vault, preparation: Preparation) {
  const going = new Map<AbortController, Promise<void>>();

  async function work(
    [trial, other]: readonly [string, string],
    signal: AbortSignal,
    tell: (news: BackgroundNews) => void,
  ): Promise<void> {
    let told = 0;
    const preparing = (done: number, of: number) => {
      if (performance.now() - told < TELL_EVERY_MS) return;
      told = performance.now();
      tell({ kind: "preparing", done, of });
    };
    const pictures = async (id: string) => {
      const source = sourceOf(vault, clipOf(id));
      const times = await wholeClip(preparation, source, "so it can't be compared", {
        onProgress: preparing,
        signal,
      });
      const { first = 0, last = times.length - 1 } = source.part ?? {};
      const jpegs: Uint8Array[] = [];
      for (const frame of spread(first, Math.min(last, times.length - 1))) {
        const answer = await preparation.frame(source, frame);
        if (answer.kind === "frame") jpegs.push(answer.jpeg);
      }
      return jpegs;
    };
    const [like, clip] = [await pictures(other), await pictures(trial)];
    tell({ kind: "comparing" });
    tell({ kind: "compared", found: await compareApart({ like, clip }, signal) });
  }

  /** @throws {MeasureError} `no-clip` */
  function clipOf(id: string): string {
    const clip = viewWithId(vault.study, id)?.clip;
    if (clip !== undefined) return clip;
    const which = vault.study.trials.some((t) => t.id === id) ? trialLabel(vault.study, id) : `"${id}"`;
    throw new MeasureError(
      "no-clip",
      `no clip of ${id}`,
      `No clip is linked to ${which}. Add its clip in Times.`,
    );
  }

  return {
    compare(trial: string, other: string): Response {
      const stop = new AbortController();
      const line = new TextEncoder();
      const body = new ReadableStream<Uint8Array>({
        start(controller) {
          const tell = (news: BackgroundNews) => {
            if (!stop.signal.aborted) controller.enqueue(line.encode(`${JSON.stringify(news)}\n`));
          };
          const ended = work([trial, other], stop.signal, tell)
            .catch((error: unknown) => {
              if (!(error instanceof MeasureError) && !stop.signal.aborted) console.error(error);
              tell({
                kind: "failed",
                text:
                  error instanceof MeasureError ? error.coach : `The clips could not be compared: ${error}`,
              });
            })
            .finally(() => {
              going.delete(stop);
              if (!stop.signal.aborted) controller.close();
            });
          going.set(stop, ended);
        },
        cancel: () => stop.abort(),
      });
      return reply(body, 200, { "content-type": "application/x-ndjson" });
    },

    async close(): Promise<void> {
      for (const stop of going.keys()) stop.abort();
      await Promise.all(going.values());
    },
  };
}

/** So many frames, evenly from the first to the last. */
function spread(first: number, last: number): number[] {
  const count = Math.max(1, Math.min(FRAMES, last - first + 1));
  return Array.from({ length: count }, (_, k) =>
    Math.round(first + (k * (last - first)) / Math.max(1, count - 1)),
  );
}
