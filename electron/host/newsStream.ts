import { MeasureError } from "../../src/errors.ts";
import { reply } from "./replies.ts";

/** What is told in the end where something went wrong. */
interface Failed {
  readonly kind: "failed";
  readonly text: string;
}

/** Long work for a window, told line by line how far it is; whoever stops listening stops it. */
export class NewsStreams {
  readonly #going = new Map<AbortController, Promise<void>>();

  /** @param otherwise begins the sentence where what went wrong is a mistake of ours */
  start<News extends { readonly kind: string }>(
    work: (signal: AbortSignal, tell: (news: News) => void) => Promise<void>,
    otherwise: string,
  ): Response {
    const stop = new AbortController();
    const line = new TextEncoder();
    const body = new ReadableStream<Uint8Array>({
      start: (controller) => {
        const tell = (news: News | Failed) => {
          if (!stop.signal.aborted) controller.enqueue(line.encode(`${JSON.stringify(news)}\n`));
        };
        const ended = work(stop.signal, tell)
          .catch((error: unknown) => {
            if (!(error instanceof MeasureError) && !stop.signal.aborted) console.error(error);
            const text = error instanceof MeasureError ? error.coach : `${otherwise}: ${error}`;
            tell({ kind: "failed", text });
          })
          .finally(() => {
            this.#going.delete(stop);
            if (!stop.signal.aborted) controller.close();
          });
        this.#going.set(stop, ended);
      },
      cancel: () => stop.abort(),
    });
    return reply(body, 200, { "content-type": "application/x-ndjson" });
  }

  async close(): Promise<void> {
    for (const stop of this.#going.keys()) stop.abort();
    await Promise.all(this.#going.values());
  }
}
