import { resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { readStudy } from "../vault/openStudy.ts";
import type { Command } from "./Command.ts";
import { readArgs } from "./options.ts";
import { type Step, studySteps } from "./steps/studySteps.ts";

const MANY = 100_000;

/** A step of one of the studies that were named. */
interface Listed extends Omit<Step, "step"> {
  readonly study: string;
  readonly step: Step["step"] | "open";
  /** Arguments of the command that does it. */
  readonly command: readonly string[];
}

export const list: Command = {
  does: "every step of these studies that is done, still to be done, or blocked and why",
  help: `blademark list STUDY [STUDY ...] [--json]

Steps: prepare a clip, follow its background (motion), suggest and measure a trial, report a study. Each rests on nothing but the study's own files, can be
done in any order and on any machine that sees them, writes one file of its own below STUDY/results (prepare: frames too),
and is done once that file is there. The file's name holds a key of what the step rests on: after a change the step is to
be done again, and nothing else is. "blademark step" does one.

  --json  one JSON object and nothing else; for an engine that hands steps to machines (docs/many-studies)`,
  async run(args, io) {
    const { values, positionals } = readArgs(args, { json: { type: "boolean" } }, [1, MANY]);
    const steps: Listed[] = [];
    for (const study of positionals) steps.push(...(await stepsOf(study, io.say)));
    io.out(
      values.json
        ? JSON.stringify({ format: "blademark.list", version: 1, studies: positionals, steps }, null, 2)
        : inWords(steps),
    );
    return 0;
  },
};

/** A folder that is no study holds up none of the others. */
async function stepsOf(study: string, say: (text: string) => void): Promise<Listed[]> {
  const folder = resolve(study);
  try {
    const { whole, notices } = await readStudy(folder, new Date());
    for (const notice of notices) say(`${study}: ${notice}`);
    const steps = await studySteps(folder, whole);
    return steps.map((s) => ({ study, ...s, command: commandOf(study, s) }));
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    const about = { trial: null, clip: null, key: null, output: null };
    return [{ study, step: "open", ...about, state: "blocked", why: error.coach, command: ["check", study] }];
  }
}

function commandOf(study: string, { step, trial, clip }: Step): string[] {
  const of = trial ?? clip;
  return ["step", study, step, ...(of === null ? [] : [of])];
}

function inWords(steps: readonly Listed[]): string {
  const lines = steps.map(
    (s) => `${s.state.padEnd(9)}${s.command.slice(1).join(" ")}${s.why === null ? "" : `  (${s.why})`}`,
  );
  const count = (state: Step["state"]) => steps.filter((s) => s.state === state).length;
  return [...lines, `${count("to do")} to do, ${count("done")} done, ${count("blocked")} blocked`].join("\n");
}
