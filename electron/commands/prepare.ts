import { resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { clipsOf } from "../../src/study/trialViews.ts";
import type { Trial } from "../../src/study/types.ts";
import { readStudy } from "../vault/openStudy.ts";
import type { Command, Io } from "./Command.ts";
import { readArgs } from "./options.ts";
import { step } from "./step.ts";
import { stepClips } from "./steps/stepClips.ts";
import { preparedTogether, studySteps } from "./steps/studySteps.ts";

export const prepare: Command = {
  does: "the frames of a study's clips, so that they are there when it is opened",
  help: `blademark prepare STUDY [TRIAL]

Prepares the clips of a study, or the one of TRIAL, as opening them in Measure does; what is prepared already is kept.
The study must not be open in a window, which prepares its clips itself.`,
  async run(args, io) {
    const { positionals } = readArgs(args, {}, [1, 2]);
    const [given = "", trial] = positionals;
    const folder = resolve(given);
    const { whole } = await readStudy(folder, new Date());
    const only = trial === undefined ? null : clipsOfTrial(whole.study.trials, trial);
    const clips = await stepClips(folder, whole.study);
    const group =
      only === null
        ? null
        : new Set(only.flatMap((clip) => preparedTogether(clips, clip).map((c) => c.link.id)));
    const steps = (await studySteps(folder, whole)).filter(
      (s) => s.step === "prepare" && (group?.has(s.clip ?? "") ?? true),
    );
    if (steps.length === 0) {
      io.say("This study has no clips yet.");
      return 0;
    }
    let failed = 0;
    for (const { clip } of steps) failed += await oneOf(given, clip!, clips.get(clip!)!.link.name, io);
    return failed > 0 ? 1 : 0;
  },
};

/** One that can't be prepared holds up none of the others. @returns 1 when it could not */
async function oneOf(study: string, clip: string, name: string, io: Io): Promise<number> {
  try {
    return await step.run([study, "prepare", clip], { ...io, say: (text) => io.say(`${name}: ${text}`) });
  } catch (error) {
    if (!(error instanceof MeasureError) || ["cancelled", "study-open"].includes(error.code)) throw error;
    io.say(`${name}: ${error.coach}`);
    return 1;
  }
}

function clipsOfTrial(trials: readonly Trial[], id: string): string[] {
  const trial = trials.find((t) => t.id === id);
  const clips = trial ? clipsOf(trial) : [];
  if (clips.length > 0) return clips;
  throw new MeasureError(
    trial ? "no-clip" : "unknown-trial",
    `prepare got ${id}`,
    trial ? "No clip is linked to this trial. Add its clip in Times." : `This study has no trial "${id}".`,
  );
}
