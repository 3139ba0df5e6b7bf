import { join } from "node:path";
import { viewsOf } from "../../../src/study/trialViews.ts";
import type { Study, WholeStudy } from "../../../src/study/types.ts";
import { startFrom } from "../../../src/suggest/followBody.ts";
import { DOCUMENT_BYTES, realDisk } from "../../disk/disk.ts";
import { framesKept, type StepClip, stepClips } from "./stepClips.ts";
import { stepKey } from "./stepKey.ts";

export const STEPS = ["prepare", "motion", "suggest", "measure", "report"] as const;
export type StepName = (typeof STEPS)[number];

/** One piece of work that rests on nothing but the study's own files, and writes one file of its own. */
export interface Step {
  readonly step: StepName;
  readonly trial: string | null;
  readonly clip: string | null;
  readonly state: "done" | "to do" | "blocked";
  /** Why it is blocked; null when it is not. */
  readonly why: string | null;
  /** Names what it rests on (`stepKey`); null where a file it needs is not there. */
  readonly key: string | null;
  /** The file it writes, below the study's folder, forward slashes; null without a key. */
  readonly output: string | null;
}

/** What such a file holds. */
export interface StepResult {
  readonly format: "blademark.step";
  readonly version: 1;
  readonly step: StepName;
  readonly trial: string | null;
  readonly clip: string | null;
  readonly key: string;
  /** What the command of the step printed as JSON; null where the input cannot give it. */
  readonly answer: unknown;
  readonly why: string | null;
}

/** Where steps leave what they worked out. All of it can be made again. */
export const RESULTS = "results";

const KEY_DIGITS = 16;

/** The file of a step: its name holds the key, so that an answer to another input is another file. */
export function outputOf({
  step,
  trial,
  clip,
  key,
}: Pick<Step, "step" | "trial" | "clip"> & { key: string }): string {
  return `${RESULTS}/${step}/${trial ?? clip ?? "study"}.${key.slice(0, KEY_DIGITS)}.json`;
}

/** Everything that can be worked out of a study, in the order in which a person would want it. */
export async function studySteps(folder: string, whole: WholeStudy): Promise<Step[]> {
  const clips = await stepClips(folder, whole.study);
  const planned = [
    ...prepares(clips),
    ...motions(whole.study, clips),
    ...suggests(whole, clips),
    ...measures(whole, clips),
    reportStep(whole, clips),
  ];
  const steps: Step[] = [];
  for (const plan of planned) steps.push(await withState(folder, plan, clips));
  return steps;
}

interface Planned {
  readonly step: StepName;
  readonly trial: string | null;
  readonly clip: string | null;
  readonly why: string | null;
  /** null where the content of a clip is not known. */
  readonly input: unknown;
}

/** One a content and turn: the frames of several trials of one film are kept together. */
function prepares(clips: ReadonlyMap<string, StepClip>): Planned[] {
  const together = new Map<string, StepClip[]>();
  for (const clip of clips.values()) {
    const name = `${clip.content ?? clip.link.id} ${clip.link.turn ?? 0}`;
    together.set(name, [...(together.get(name) ?? []), clip]);
  }
  return [...together.values()].map((group) => {
    const [first] = group as [StepClip];
    const why = group.find((c) => c.why !== null)?.why ?? null;
    const parts = group.map(({ link }) => link.part ?? null);
    const input =
      first.content === null ? null : { content: first.content, turn: first.link.turn ?? 0, parts };
    return { step: "prepare", trial: null, clip: first.link.id, why, input };
  });
}

/** Of each clip that is measured: how its picture moves, in the part that matters. */
function motions(study: Study, clips: ReadonlyMap<string, StepClip>): Planned[] {
  const measured = new Set(study.trials.flatMap(viewsOf).map((view) => view.clip));
  return [...clips.values()].flatMap(({ link, content, why }): Planned[] => {
    if (!measured.has(link.id)) return [];
    const input = content === null ? null : { content, turn: link.turn ?? 0, part: link.part ?? null };
    return [{ step: "motion", trial: null, clip: link.id, why, input }];
  });
}

/** Links to the same content, turned alike, that are prepared in one step. */
export function preparedTogether(clips: ReadonlyMap<string, StepClip>, id: string): StepClip[] {
  const of = clips.get(id);
  if (!of) return [];
  return [...clips.values()].filter(
    (c) => c === of || (c.content !== null && c.content === of.content && c.link.turn === of.link.turn),
  );
}

function suggests({ study, marks }: WholeStudy, clips: ReadonlyMap<string, StepClip>): Planned[] {
  return study.trials.flatMap((trial) => {
    const clip = trial.clip === undefined ? undefined : clips.get(trial.clip);
    if (!clip) return [];
    const by = marks[trial.id];
    const why =
      clip.why ??
      (by?.picture && startFrom(by.marks)
        ? null
        : "Nothing is marked on it by hand yet. Mark two strides of each side first.");
    const { content, link } = clip;
    const input =
      content === null
        ? null
        : {
            content,
            part: link.part ?? null,
            turn: link.turn ?? 0,
            speedFactor: trial.speedFactor,
            marks: by ?? null,
          };
    return [{ step: "suggest" as const, trial: trial.id, clip: null, why, input }];
  });
}

/** A trial's measuring rests on the whole study: how well its points are marked is told by all of them. */
function measures(whole: WholeStudy, clips: ReadonlyMap<string, StepClip>): Planned[] {
  const all = { ...whole, contents: contents(clips) };
  const of = stepKey("study", all);
  return whole.study.trials.map(({ id }) => {
    const by = whole.marks[id];
    const why = by && by.marks.length > 0 ? null : "Nothing is marked on it yet.";
    return { step: "measure", trial: id, clip: null, why, input: { of, trial: id } };
  });
}

function reportStep(whole: WholeStudy, clips: ReadonlyMap<string, StepClip>): Planned {
  const { trials } = whole.study;
  const some = trials.some((t) => t.time !== null || (whole.marks[t.id]?.marks.length ?? 0) > 0);
  const why = some ? null : "No trial has a time or marks yet.";
  return { step: "report", trial: null, clip: null, why, input: { ...whole, contents: contents(clips) } };
}

/** A clip that is not there is a difference too: it has no stills, and nobody can tell whether it is mirrored. */
function contents(clips: ReadonlyMap<string, StepClip>) {
  return [...clips.values()].map(({ link, content }) => [link.id, content]);
}

async function withState(
  folder: string,
  { step, trial, clip, why, input }: Planned,
  clips: ReadonlyMap<string, StepClip>,
): Promise<Step> {
  const about = { step, trial, clip };
  const key = input === null ? null : stepKey(step, input);
  const output = key === null ? null : outputOf({ ...about, key });
  if (why !== null || key === null || output === null)
    return { ...about, state: "blocked", why: why ?? "Its clip is not there.", key, output };
  const result = await readResult(folder, output, key);
  if (result === null) return { ...about, state: "to do", why: null, key, output };
  if (result.why !== null) return { ...about, state: "blocked", why: result.why, key, output };
  const there = step !== "prepare" || (await stillPrepared(folder, clips.get(clip ?? ""), result));
  return { ...about, state: there ? "done" : "to do", why: null, key, output };
}

async function readResult(folder: string, output: string, key: string): Promise<StepResult | null> {
  const bytes = await realDisk(folder).read(join(folder, output), DOCUMENT_BYTES);
  try {
    const result: StepResult = JSON.parse(String(bytes));
    const { format, version, why } = result;
    const ours = format === "blademark.step" && version === 1 && result.key === key;
    return ours && (why === null || typeof why === "string") ? result : null;
  } catch {
    return null;
  }
}

/** Prepared frames are taken away where room runs out. */
async function stillPrepared(
  folder: string,
  clip: StepClip | undefined,
  { answer }: StepResult,
): Promise<boolean> {
  const parts = (answer as { parts?: unknown } | null)?.parts;
  if (!clip || !Array.isArray(parts)) return false;
  for (const { first, last } of parts)
    if (!(await framesKept(folder, clip, [Number(first), Number(last)]))) return false;
  return true;
}
