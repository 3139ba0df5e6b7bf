import { MeasureError } from "../../src/errors.ts";
import { viewWithId } from "../../src/study/trialViews.ts";
import type { Trial, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { startFrom } from "../../src/suggest/followBody.ts";
import type { Eyes } from "../../src/suggest/scene.ts";
import { beforeLooking, type Suggestions, suggestTrial } from "../../src/suggest/suggestTrial.ts";
import type { Preparation } from "../clip/jobs/preparation.ts";
import { wholeClip } from "../clip/jobs/wholeClip.ts";
import type { ClipSource } from "../clip/link/clipSource.ts";
import type { FilmTools } from "../film/writeFilm.ts";
import { ClipEyes, type Following } from "./lookAt.ts";
import { MODELS, type PoseModels, poseModels } from "./poseModels.ts";

export interface SuggestProgress {
  readonly doing: "preparing" | "looking";
  readonly done: number;
  readonly of: number;
  /** null while that cannot be told. */
  readonly secondsLeft: number | null;
}

export interface SuggestHooks {
  readonly onProgress: (progress: SuggestProgress) => void;
  readonly signal: AbortSignal;
}

/** What sees a trial's clip and has followed the skater through it. */
export interface TrialEyes extends Eyes {
  readonly realInterval: number;
}

/**
 * @param confirmed marks and events to go by
 * @throws {MeasureError} `no-clip`, `nothing-marked`, `clip-failed`, `model-missing`, `model-changed`
 */
export async function suggestStudyTrial(
  whole: WholeStudy,
  trial: string,
  confirmed: TrialMarks,
  tools: FilmTools,
  hooks: SuggestHooks,
): Promise<Suggestions> {
  mustSee(whole, trial, confirmed);
  const { isAll, known } = beforeLooking(confirmed, MODELS.thunder.weights);
  return isAll ? known : suggestFrom(confirmed, await eyesOn(whole, trial, confirmed, tools, hooks));
}

/** The one way from marks to suggestions, for the command and for the window. */
export function suggestFrom(confirmed: TrialMarks, eyes: TrialEyes): Promise<Suggestions> {
  const { events, marks, picture } = confirmed;
  return suggestTrial({ events, marks, picture: picture!, realInterval: eyes.realInterval }, eyes);
}

/** Prepares the clip and follows the skater through it. */
export async function eyesOn(
  whole: WholeStudy,
  trial: string,
  confirmed: TrialMarks,
  { preparation, sourceOf }: FilmTools,
  { onProgress, signal }: SuggestHooks,
): Promise<TrialEyes> {
  const asked = mustSee(whole, trial, confirmed);
  const source = sourceOf(asked.clip);
  const range = await preparedRange(preparation, source, { onProgress, signal });
  let models: Promise<PoseModels> | null = null;
  const clip = new ClipEyes({
    jpeg: (frame) => storedFrame(preparation, source, frame),
    models: () => {
      models ??= poseModels();
      return models;
    },
  });
  const eyes = await clip.follow({
    start: asked.start,
    range,
    onFrame: (done, of) => onProgress({ doing: "looking", done, of, secondsLeft: null }),
    signal,
  });
  return { ...eyes, realInterval: asked.realInterval };
}

/** What is needed to look at a trial. */
export interface Asked {
  readonly row: Trial;
  readonly clip: string;
  readonly start: Following["start"];
  readonly realInterval: number;
}

/** @throws {MeasureError} `unknown-trial`, `no-clip`, `nothing-marked` */
export function mustSee(whole: Pick<WholeStudy, "study">, trial: string, confirmed: TrialMarks): Asked {
  const row = viewWithId(whole.study, trial);
  if (!row)
    throw new MeasureError(
      "unknown-trial",
      `suggest needs a trial of the study; there is none with id ${trial}`,
      `This study has no trial "${trial}". Its trials are: ${whole.study.trials.map((t) => t.id).join(", ") || "none yet"}.`,
    );
  if (row.clip === undefined)
    throw new MeasureError(
      "no-clip",
      `suggest needs a trial with a clip; ${trial} has none`,
      "No clip is linked to this trial, so nothing can be suggested on it. Add its clip in Times.",
    );
  const start = startFrom(confirmed.marks);
  if (!start || !confirmed.picture)
    throw new MeasureError(
      "nothing-marked",
      `suggest needs marks to learn from; trial ${trial} has none`,
      "Nothing is marked on this trial yet. Mark two strides of each side by hand first, where the skater is large in the picture.",
    );
  return { row, clip: row.clip, start, realInterval: confirmed.picture.frameInterval / row.speedFactor };
}

/** The frames that can be looked at, once all of them are prepared. Of a film with a part that matters only that part is. */
export async function preparedRange(
  preparation: Preparation,
  source: ClipSource,
  { onProgress, signal }: SuggestHooks,
): Promise<Following["range"]> {
  const times = await wholeClip(preparation, source, "so nothing is suggested", {
    onProgress: (done, of, secondsLeft) => onProgress({ doing: "preparing", done, of, secondsLeft }),
    signal,
  }).catch((error: unknown) => {
    if (signal.aborted)
      throw new MeasureError("cancelled", "suggest was stopped", "Stopped. Nothing is suggested.");
    throw error;
  });
  const { first = 0, last = times.length - 1 } = source.part ?? {};
  return { first, last: Math.min(last, times.length - 1) };
}

/** @throws {MeasureError} `frame-gone` */
export async function storedFrame(
  preparation: Preparation,
  source: ClipSource,
  frame: number,
): Promise<Uint8Array> {
  const answer = await preparation.frame(source, frame);
  if (answer.kind === "frame") return answer.jpeg;
  throw new MeasureError(
    "frame-gone",
    `frame ${frame} of ${source.clip} is ${answer.kind}`,
    `Frame ${frame} of the clip has no picture, so nothing is suggested. Open the trial in Measure to see why.`,
  );
}
