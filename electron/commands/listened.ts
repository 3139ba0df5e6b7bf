import { MeasureError } from "../../src/errors.ts";
import { viewsOf } from "../../src/study/trialViews.ts";
import type { TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { keptSound } from "../../src/trials/keptSound.ts";
import { withFilmTools } from "../film/filmTools.ts";
import { hear } from "../sound/hear.ts";
import { lagOf } from "./heardLags.ts";

/**
 * A study with what the clips of a trial's views let hear, as "Listen to both clips" keeps it in the window; nothing is written.
 *
 * @throws {MeasureError} `one-view` where the trial has no two clips to listen to; what is wrong with a file
 */
export async function listened(whole: WholeStudy, trialId: string, folder: string): Promise<WholeStudy> {
  const trial = whole.study.trials.find(({ id }) => id === trialId);
  const [first, ...further] = trial ? viewsOf(trial) : [];
  const others = further.filter(({ id, clip }) => clip !== undefined && whole.marks[id]);
  const { clip } = first ?? {};
  if (!first || clip === undefined || others.length === 0)
    throw new MeasureError(
      "one-view",
      `--listen needs a trial with clips of two views; got ${trialId}`,
      `--listen lays the sound of two views' clips over each other; "${trialId}" has no two.`,
    );
  return withFilmTools(whole.study, folder, async ({ preparation, ffmpeg, sourceOf }, signal) => {
    const heard = async (id: string, of: string) => {
      const times = (whole.marks[id]?.events ?? []).map(({ time }) => time);
      return hear(ffmpeg, await preparation.fileOf(sourceOf(of)), times, signal);
    };
    const own = await heard(first.id, clip);
    const marks: Record<string, TrialMarks> = { ...whole.marks };
    for (const view of others) {
      const clips = { clip: view.clip!, with: clip };
      const sound = keptSound(clips, lagOf(own, await heard(view.id, clips.clip)));
      marks[view.id] = { ...marks[view.id]!, sound };
    }
    return { ...whole, marks };
  });
}
