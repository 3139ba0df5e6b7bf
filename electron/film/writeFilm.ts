import { MeasureError } from "../../src/errors.ts";
import { DAMAGED } from "../../src/report/film/drawFilm.ts";
import { FILM } from "../../src/report/film/layout.ts";
import { type ClipTimes, type FilmPlan, planFilm } from "../../src/report/film/planFilm.ts";
import { type FilmWish, filmSubjects } from "../../src/report/film/subjects.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { countedReadings } from "../../src/trials/countedReadings.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { cancelled, encodeFilm } from "../clip/ffmpeg/encodeFilm.ts";
import type { Ffmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import type { Preparation } from "../clip/jobs/preparation.ts";
import { wholeClip } from "../clip/jobs/wholeClip.ts";
import type { ClipSource } from "../clip/link/clipSource.ts";
import type { FrameAnswer } from "../clip/store/frameAnswer.ts";
import { type FilmStill, filmCanvas } from "./filmCanvas.ts";

export interface FilmProgress {
  readonly doing: "preparing" | "writing";
  readonly done: number;
  readonly of: number;
  /** null while that cannot be told. */
  readonly secondsLeft: number | null;
}

export interface FilmHooks {
  readonly onProgress: (progress: FilmProgress) => void;
  /** Ends it; nothing is left of it. */
  readonly signal?: AbortSignal | undefined;
}

/**
 * Writes a film of a study's trials, from the exact frames of their prepared clips.
 *
 * @param sourceOf the clip with an id
 * @throws {MeasureError} what `planFilm` and `encodeFilm` refuse; why a clip cannot be prepared
 */
export async function writeFilm(
  whole: WholeStudy,
  wish: FilmWish,
  out: string,
  tools: FilmTools,
  hooks: FilmHooks,
): Promise<FilmPlan> {
  try {
    return await write(whole, wish, out, tools, hooks);
  } catch (error) {
    throw hooks.signal?.aborted ? cancelled(out) : error;
  }
}

async function write(
  whole: WholeStudy,
  wish: FilmWish,
  out: string,
  { preparation, ffmpeg, sourceOf }: FilmTools,
  hooks: FilmHooks,
): Promise<FilmPlan> {
  const clips = wish.trials.flatMap((id) => whole.study.trials.find((t) => t.id === id)?.clip ?? []);
  const times = new Map<string, ClipTimes>();
  // What is wrong with the wish is said before clips are prepared for it.
  const counted = countedReadings(whole, measuredOnce(whole));
  filmSubjects(whole, wish, counted);
  for (const clip of new Set(clips)) times.set(clip, await prepared(preparation, sourceOf(clip), hooks));
  const plan = planFilm(whole, wish, ({ clip }) => times.get(clip!)!, counted);
  const canvas = await filmCanvas();
  const begun = performance.now();
  const last: { frame: number; still: FilmStill }[] = [];
  const stillOf = async (c: number, frame: number) => {
    if (last[c]?.frame !== frame) {
      const answer = await preparation.frame(sourceOf(plan.clips[c]!), frame);
      if (answer.kind !== "frame" && answer.kind !== "no-picture")
        throw new MeasureError(
          "frame-gone",
          `frame ${frame} of ${plan.clips[c]} is ${answer.kind}`,
          `Frame ${frame} of the clip can't be read any more, so the clip was not written. Open the trial in Measure to see why.`,
        );
      last[c] = { frame, still: stillFrom(answer, frame) };
    }
    return last[c]!.still;
  };
  let drawn: { readonly shows: string; readonly picture: Uint8Array } | null = null;
  await encodeFilm(
    ffmpeg,
    out,
    {
      width: FILM.width,
      height: FILM.height,
      rate: plan.rate,
      count: plan.count,
      async draw(j) {
        // Slowed, the same frames are shown several times over, and everything drawn belongs to the frames.
        const film = plan.at(j);
        const shows = film.panels.map(({ frame, edge }) => `${frame} ${edge}`).join(", ");
        if (drawn?.shows !== shows) {
          const stills = await Promise.all(film.panels.map(({ frame }, c) => stillOf(c, frame)));
          drawn = { shows, picture: await canvas.draw(film, stills) };
        }
        const spent = (performance.now() - begun) / 1000;
        const secondsLeft = j < 5 ? null : (spent / (j + 1)) * (plan.count - j - 1);
        hooks.onProgress({ doing: "writing", done: j + 1, of: plan.count, secondsLeft });
        return drawn.picture;
      },
    },
    hooks.signal,
  );
  return plan;
}

export interface FilmTools {
  readonly preparation: Preparation;
  readonly ffmpeg: Ffmpeg;
  readonly sourceOf: (clip: string) => ClipSource;
}

function stillFrom(answer: FrameAnswer, frame: number): FilmStill {
  if (answer.kind !== "frame") return { jpeg: null, note: `no picture could be made of frame ${frame}` };
  return { jpeg: answer.jpeg, note: answer.doubtful ? DAMAGED : null };
}

/** The frame times of a clip, once all its frames can be shown. */
async function prepared(
  preparation: Preparation,
  source: ClipSource,
  { onProgress, signal }: FilmHooks,
): Promise<ClipTimes> {
  const times = await wholeClip(preparation, source, "so the film was not written", {
    onProgress: (done, of, secondsLeft) => onProgress({ doing: "preparing", done, of, secondsLeft }),
    signal,
  });
  return { times, part: source.part };
}
