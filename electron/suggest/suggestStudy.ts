import { setImmediate as breath } from "node:timers/promises";
import { MeasureError } from "../../src/errors.ts";
import type { TrialMarks, WholeStudy } from "../../src/study/types.ts";
import type { Body } from "../../src/suggest/body.ts";
import { followBody, startFrom } from "../../src/suggest/followBody.ts";
import type { Rgba } from "../../src/suggest/pixels.ts";
import type { Eyes } from "../../src/suggest/scene.ts";
import { type Suggestions, suggestTrial } from "../../src/suggest/suggestTrial.ts";
import { wholeClip } from "../clip/jobs/wholeClip.ts";
import type { FilmTools } from "../film/writeFilm.ts";
import { jpegPixels } from "./jpegPixels.ts";
import { poseModels } from "./poseModels.ts";

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
 * @throws {MeasureError} `no-clip`, `nothing-marked`, `clip-failed`, `model-changed`
 */
export async function suggestStudyTrial(
  whole: WholeStudy,
  trial: string,
  confirmed: TrialMarks,
  tools: FilmTools,
  hooks: SuggestHooks,
): Promise<Suggestions> {
  const eyes = await eyesOn(whole, trial, confirmed, tools, hooks);
  return suggestTrial(
    {
      events: confirmed.events,
      marks: confirmed.marks,
      picture: confirmed.picture!,
      realInterval: eyes.realInterval,
    },
    eyes,
  );
}

/** Prepares the clip and follows the skater through it. */
export async function eyesOn(
  whole: WholeStudy,
  trial: string,
  confirmed: TrialMarks,
  { preparation, sourceOf }: FilmTools,
  { onProgress, signal }: SuggestHooks,
): Promise<TrialEyes> {
  const row = whole.study.trials.find((t) => t.id === trial);
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
  const source = sourceOf(row.clip);
  const times = await wholeClip(preparation, source, "so nothing is suggested", {
    onProgress: (done, of, secondsLeft) => onProgress({ doing: "preparing", done, of, secondsLeft }),
    signal,
  }).catch((error: unknown) => {
    goesOn(signal);
    throw error;
  });
  const kept = new Map<number, Rgba>();
  const picture = async (frame: number): Promise<Rgba> => {
    const before = kept.get(frame);
    if (before) return before;
    const answer = await preparation.frame(source, frame);
    if (answer.kind !== "frame")
      throw new MeasureError(
        "frame-gone",
        `frame ${frame} of ${source.clip} is ${answer.kind}`,
        `Frame ${frame} of the clip has no picture, so nothing is suggested. Open the trial in Measure to see why.`,
      );
    const pixels = await jpegPixels(answer.jpeg);
    // One frame is looked at several times in a row, then not again.
    if (kept.size >= 4) kept.delete(kept.keys().next().value!);
    kept.set(frame, pixels);
    return pixels;
  };
  const models = await poseModels();
  // Of a film with a part that matters only that part is prepared.
  const { first = 0, last = times.length - 1 } = source.part ?? {};
  const range = { first, last: Math.min(last, times.length - 1) };
  let looked = 0;
  const bodies = await followBody(
    async (frame, square) => {
      goesOn(signal);
      onProgress({ doing: "looking", done: looked++, of: range.last - range.first + 1, secondsLeft: null });
      const body = models.quick(await picture(frame), frame, square);
      await breath();
      return body;
    },
    start,
    range,
  );
  const closer = new Map<number, Body>();
  return {
    bodies,
    closely: async (frame, square) => {
      goesOn(signal);
      const body = closer.get(frame) ?? models.close(await picture(frame), frame, square);
      closer.set(frame, body);
      return body;
    },
    picture,
    realInterval: confirmed.picture.frameInterval / row.speedFactor,
  };
}

/** @throws {MeasureError} `cancelled` */
function goesOn(signal: AbortSignal): void {
  if (signal.aborted)
    throw new MeasureError("cancelled", "suggest was stopped", "Stopped. Nothing is suggested.");
}
