import { dirname, join, resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { realDisk } from "../disk/disk.ts";
import { writeAtomically } from "../vault/atomicWrite.ts";
import { readStudy } from "../vault/openStudy.ts";
import { type Command, type Io, UsageError } from "./Command.ts";
import { measure } from "./measure.ts";
import { followed, motionJson } from "./motion.ts";
import { readArgs } from "./options.ts";
import { report } from "./report.ts";
import { prepareClips } from "./steps/prepareClips.ts";
import { stepClips } from "./steps/stepClips.ts";
import {
  preparedTogether,
  RESULTS,
  STEPS,
  type Step,
  type StepName,
  type StepResult,
  studySteps,
} from "./steps/studySteps.ts";
import { suggest } from "./suggest.ts";

export const step: Command = {
  does: "one step of those that list names; nothing where it is done already",
  help: `blademark step STUDY prepare CLIP
blademark step STUDY motion CLIP
blademark step STUDY suggest TRIAL
blademark step STUDY measure TRIAL
blademark step STUDY report

Does one step and keeps its answer in STUDY/results, whole or not at all: ended at any moment, it is done again from the
start (prepare: from where it was). Where the input cannot give an answer, that is the answer, with why. Nothing of the
study itself is changed. The report itself is in STUDY/results/report/pages.`,
  async run(args, io) {
    const { positionals } = readArgs(args, {}, [2, 3]);
    const [given = "", name, of = null] = positionals;
    const wanted = STEPS.find((s) => s === name);
    if (!wanted) throw new UsageError(`A step is one of ${STEPS.join(", ")}, not "${name}".`);
    const folder = resolve(given);
    const { whole, notices } = await readStudy(folder, new Date());
    for (const notice of notices) io.say(notice);
    const found = (await studySteps(folder, whole)).find(
      (s) => s.step === wanted && (s.trial ?? s.clip) === of,
    );
    if (!found)
      throw new MeasureError(
        "no-step",
        `${given} has no step ${wanted} of ${of}`,
        `This study has nothing to ${wanted} under that name. blademark list ${given} says what there is.`,
      );
    if (found.state === "blocked") throw blocked(found);
    if (found.state === "done") {
      io.say("Done before; nothing has changed since.");
      return 0;
    }
    const result = await doStep(folder, found, io);
    // The step read the study by itself: what was changed meanwhile may be in its answer, under the key of what was before.
    const after = await studySteps(folder, (await readStudy(folder, new Date())).whole);
    if (!after.some((s) => s.step === wanted && (s.trial ?? s.clip) === of && s.key === found.key))
      throw new MeasureError(
        "changed-meanwhile",
        `the input of ${wanted} ${of} changed while it was worked out`,
        "The study was changed while this was worked out, so the answer is not kept. Do it again.",
      );
    await keep(folder, found, result);
    if (result.why !== null) io.say(result.why);
    return 0;
  },
};

function blocked({ step: name, trial, clip, why }: Step): MeasureError {
  return new MeasureError("step-blocked", `${name} ${trial ?? clip ?? ""} is blocked`, why ?? "");
}

/** @throws {MeasureError} what may be otherwise the next time: no ffmpeg, no room */
async function doStep(folder: string, { step: name, trial, clip, key }: Step, io: Io): Promise<StepResult> {
  const about = { format: "blademark.step", version: 1, step: name, trial, clip, key: key! } as const;
  try {
    return { ...about, answer: await DO[name](folder, trial ?? clip ?? "", io), why: null };
  } catch (error) {
    // What a trial's marks and the study cannot give, they cannot give the next time either.
    if (name !== "measure" || !(error instanceof MeasureError)) throw error;
    return { ...about, answer: null, why: error.coach };
  }
}

const DO: Readonly<Record<StepName, (folder: string, of: string, io: Io) => Promise<unknown>>> = {
  async prepare(folder, clip, io) {
    const { whole } = await readStudy(folder, new Date());
    const together = preparedTogether(await stepClips(folder, whole.study), clip);
    return { parts: await prepareClips(folder, together, io) };
  },
  async motion(folder, clip, io) {
    const { whole } = await readStudy(folder, new Date());
    const { file, link } = (await stepClips(folder, whole.study)).get(clip)!;
    return motionJson(await followed(file!, io, { turn: link.turn, part: link.part }));
  },
  suggest: (folder, trial, io) => printed(suggest, [folder, trial, "--json"], io),
  measure: (folder, trial, io) => printed(measure, [folder, trial, "--json"], io),
  async report(folder, _, io) {
    const pages = join(folder, RESULTS, "report", "pages");
    await realDisk(folder).makeFolder(dirname(pages));
    await report.run([folder, "--out", pages], io);
    return { pages: `${RESULTS}/report/pages` };
  },
};

/** What a command prints with --json. */
async function printed(command: Command, args: string[], { say }: Io): Promise<unknown> {
  let text = "";
  const status = await command.run(args, {
    out: (more) => {
      text += more;
    },
    say,
  });
  if (status !== 0) throw new Error(`${args.join(" ")} ended with ${status}`);
  return JSON.parse(text);
}

/** The answer in its file; answers to what the study was before go. */
async function keep(folder: string, { output }: Step, result: StepResult): Promise<void> {
  const disk = realDisk(folder);
  const file = join(folder, output!);
  await disk.makeFolder(dirname(file));
  await writeAtomically(file, `${JSON.stringify(result)}\n`, disk);
  const stem = file.replace(/[0-9a-f]{16}\.json$/, "");
  for (const name of await disk.list(dirname(file))) {
    const other = join(dirname(file), name);
    const older = other.startsWith(stem) && /^[0-9a-f]{16}\.json$/.test(other.slice(stem.length));
    if (older && other !== file) await disk.remove(other);
  }
}
