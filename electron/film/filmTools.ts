import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import type { Study } from "../../src/study/types.ts";
import { findFfmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import { Preparation } from "../clip/jobs/preparation.ts";
import type { ClipSource } from "../clip/link/clipSource.ts";
import type { FilmTools } from "./writeFilm.ts";

/**
 * What films are written with on the command line: clips are prepared in a folder of its own, which is gone afterwards,
 * and not in the study's cache, where a window may be preparing them at this moment.
 *
 * @param use `signal` is given by Ctrl-C; all is put in order before the program ends
 */
export async function withFilmTools<T>(
  study: Study,
  studyFolder: string,
  use: (tools: FilmTools, signal: AbortSignal) => Promise<T>,
): Promise<T> {
  const ffmpeg = await findFfmpeg();
  const cache = await mkdtemp(join(tmpdir(), "blademark-clip-"));
  const preparation = new Preparation(cache, async () => ffmpeg);
  const stop = new AbortController();
  const onSignal = () => stop.abort();
  process.once("SIGINT", onSignal).once("SIGTERM", onSignal);
  try {
    const sourceOf = (id: string) => clipSource(study, studyFolder, id);
    return await use({ preparation, ffmpeg, sourceOf }, stop.signal);
  } finally {
    process.off("SIGINT", onSignal).off("SIGTERM", onSignal);
    await preparation.close();
    await rm(cache, { recursive: true, force: true });
  }
}

/** @throws {MeasureError} `unknown-clip` */
function clipSource({ clips }: Study, studyFolder: string, id: string): ClipSource {
  const link = clips.find((c) => c.id === id);
  if (!link)
    throw new MeasureError("unknown-clip", `no clip ${id} in the study`, `This study has no clip "${id}".`);
  const { path, bytes, sha256 = null, part = null, turn = 0 } = link;
  return { clip: id, file: resolve(studyFolder, path), bytes, sha256, part, turn, studyFolder };
}

/** What is said of a job that goes on. */
const DOING = {
  preparing: "Preparing the clip",
  writing: "Writing",
  looking: "Following the skater",
  following: "Following the camera",
} as const;

interface Going {
  readonly doing: keyof typeof DOING;
  readonly done: number;
  readonly of: number;
  readonly secondsLeft: number | null;
}

/** Says at every tenth how far it has come. */
export function tenths(say: (text: string) => void): (progress: Going) => void {
  let last = "";
  return ({ doing, done, of, secondsLeft }) => {
    const tenth = of > 0 ? Math.floor((10 * done) / of) : 0;
    if (`${doing} ${tenth}` === last) return;
    last = `${doing} ${tenth}`;
    const left = secondsLeft === null ? "" : `, about ${Math.ceil(secondsLeft)} s left`;
    say(`${DOING[doing]}: ${done} of ${of} frames${left}`);
  };
}
