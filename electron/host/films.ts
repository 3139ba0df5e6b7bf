import { randomUUID } from "node:crypto";
import { createReadStream } from "node:fs";
import { mkdtemp, rm, stat } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Readable } from "node:stream";
import { z } from "zod";
import { MeasureError } from "../../src/errors.ts";
import { filmName } from "../../src/report/film/filmName.ts";
import { readMoment } from "../../src/report/film/moment.ts";
import type { FilmWish } from "../../src/report/film/subjects.ts";
import type { FilmNews } from "../../src/study/exchange.ts";
import { findFfmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import type { Preparation } from "../clip/jobs/preparation.ts";
import { writeFilm } from "../film/writeFilm.ts";
import type { Vault } from "../vault/Vault.ts";
import { sourceOf } from "./clips.ts";
import type { BodyReaders } from "./jsonBody.ts";
import { refusal, reply } from "./replies.ts";
import { windowOf } from "./windows.ts";

const SMALL_BODY = 4096;

const wished = z.object({
  trials: z.array(z.string().max(200)).min(1).max(2),
  moment: z.string().max(100).nullable(),
  slow: z.number().min(0.1).max(100),
  names: z.enum(["names", "codes"]),
});

interface Written {
  readonly id: string;
  readonly name: string;
  readonly file: string;
}

/** Films that the window asked for: written one at a time outside the study, and kept until the next is asked for. */
export function filmRoutes(vault: Vault, preparation: Preparation, bodies: BodyReaders) {
  let folder: Promise<string> | null = null;
  let going: {
    readonly window: string | null;
    readonly stop: AbortController;
    readonly ended: Promise<void>;
  } | null = null;
  let last: Written | null = null;

  async function write(wish: FilmWish, signal: AbortSignal, tell: (news: FilmNews) => void): Promise<void> {
    try {
      folder ??= mkdtemp(join(tmpdir(), "blademark-films-"));
      const { study, marks } = vault.opened();
      const id = randomUUID();
      const file = join(await folder, `${id}.mp4`);
      const name = filmName(study, wish.trials, wish.names);
      let told = 0;
      await writeFilm(
        { study, marks },
        wish,
        file,
        { preparation, ffmpeg: await findFfmpeg(), sourceOf: (clip) => sourceOf(vault, clip) },
        {
          signal,
          onProgress: (progress) => {
            // A person sees no more than ten a second.
            if (performance.now() - told < 100) return;
            told = performance.now();
            tell({ kind: "progress", ...progress });
          },
        },
      );
      if (last) await rm(last.file, { force: true });
      last = { id, name, file };
      tell({ kind: "written", id, name });
    } catch (error) {
      if (!(error instanceof MeasureError)) console.error(error);
      const text = error instanceof MeasureError ? error.coach : `The clip could not be written: ${error}`;
      tell({ kind: "failed", text });
    }
  }

  return {
    /** Answers line by line, how far it has come; ends when the film is written. Whoever stops listening cancels it. */
    async make(request: Request): Promise<Response> {
      const given = wished.safeParse(await bodies.json(request, SMALL_BODY));
      const moment = given.data?.moment == null ? null : readMoment(given.data.moment);
      if (!given.success || (given.data.moment !== null && !moment))
        throw new MeasureError(
          "bad-request",
          `${given.error}`,
          "The window asked for a clip that can't be made.",
        );
      const window = windowOf(request);
      // A window that asks again has stopped listening to its last one, whether or not that was noticed yet.
      if (going && window !== null && going.window === window) {
        going.stop.abort();
        await going.ended;
      }
      if (going) return refusal(409, "busy", "A clip is being saved already. Wait for it, or stop it first.");
      const wish = { ...given.data, moment };
      const stop = new AbortController();
      const line = new TextEncoder();
      const body = new ReadableStream<Uint8Array>({
        start(controller) {
          const tell = (news: FilmNews) => {
            if (!stop.signal.aborted) controller.enqueue(line.encode(`${JSON.stringify(news)}\n`));
          };
          const ended = write(wish, stop.signal, tell).then(() => {
            going = null;
            if (!stop.signal.aborted) controller.close();
          });
          going = { window, stop, ended };
        },
        async cancel() {
          stop.abort();
          await going?.ended;
        },
      });
      return reply(body, 200, { "content-type": "application/x-ndjson" });
    },

    async file(id: string): Promise<Response> {
      const found = last?.id === id ? await stat(last.file).catch(() => null) : null;
      if (!last || !found) return refusal(404, "not-found", "This clip is not kept any more. Save it again.");
      return reply(Readable.toWeb(createReadStream(last.file)) as ReadableStream, 200, {
        "content-type": "video/mp4",
        "content-length": String(found.size),
        "content-disposition": `attachment; filename*=UTF-8''${encodeURIComponent(last.name)}`,
      });
    },

    /** Ends what is going and takes all films away. */
    async close(): Promise<void> {
      going?.stop.abort();
      await going?.ended;
      if (folder) await rm(await folder, { recursive: true, force: true });
    },
  };
}
