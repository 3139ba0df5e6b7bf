import { MeasureError } from "../../src/errors.ts";
import type { SuggestNews } from "../../src/study/exchange.ts";
import { parseMarks } from "../../src/study/parseMarks.ts";
import type { Preparation } from "../clip/jobs/preparation.ts";
import { Suggester } from "../suggest/Suggester.ts";
import { mustSee, preparedRange, storedFrame } from "../suggest/suggestStudy.ts";
import type { Vault } from "../vault/Vault.ts";
import { sourceOf } from "./clips.ts";
import type { BodyReaders } from "./jsonBody.ts";
import { reply } from "./replies.ts";

/** A person sees no more than ten a second. */
const TELL_EVERY_MS = 100;

/** Suggestions for a trial as the window has it, line by line how far they are; whoever stops listening stops them. */
export function suggestionRoutes(vault: Vault, preparation: Preparation, bodies: BodyReaders) {
  const suggester = new Suggester(vault.cacheFolder, vault.disk);

  async function work(
    trial: string,
    given: unknown,
    signal: AbortSignal,
    tell: (news: SuggestNews) => void,
  ): Promise<void> {
    const marks = parseMarks(given);
    const asked = mustSee({ study: vault.study }, trial, marks);
    const source = sourceOf(vault, asked.clip);
    let told = 0;
    const progress = (doing: "preparing" | "looking") => (done: number, of: number) => {
      if (performance.now() - told < TELL_EVERY_MS) return;
      told = performance.now();
      tell({ kind: "progress", doing, done, of });
    };
    const preparing = progress("preparing");
    const range = await preparedRange(preparation, source, {
      signal,
      onProgress: ({ done, of }) => preparing(done, of),
    });
    const first = await preparation.frame(source, asked.start.frame);
    if (first.kind !== "frame")
      throw new MeasureError(
        "frame-gone",
        `frame ${asked.start.frame} is ${first.kind}`,
        "The frame that was marked has no picture any more, so nothing is suggested.",
      );
    const text = await suggester.suggest({
      clip: first.key,
      task: { trial, marks, start: asked.start, range, realInterval: asked.realInterval },
      jpeg: (frame) => storedFrame(preparation, source, frame),
      onProgress: progress("looking"),
      signal,
    });
    tell({ kind: "suggested", text });
  }

  return {
    /** A window is shown a frame: looking waits a moment. */
    giveWay: () => suggester.giveWay(),

    async make(request: Request, trial: string): Promise<Response> {
      const given = await bodies.json(request);
      const stop = new AbortController();
      const line = new TextEncoder();
      const body = new ReadableStream<Uint8Array>({
        async start(controller) {
          const tell = (news: SuggestNews) => {
            if (!stop.signal.aborted) controller.enqueue(line.encode(`${JSON.stringify(news)}\n`));
          };
          work(trial, given, stop.signal, tell)
            .catch((error: unknown) => {
              if (!(error instanceof MeasureError)) console.error(error);
              const text =
                error instanceof MeasureError ? error.coach : `Nothing could be suggested: ${error}`;
              tell({ kind: "failed", text });
            })
            .finally(() => {
              if (!stop.signal.aborted) controller.close();
            });
        },
        cancel: () => stop.abort(),
      });
      return reply(body, 200, { "content-type": "application/x-ndjson" });
    },

    close: () => suggester.close(),
  };
}
