import { createStore } from "zustand/vanilla";
import { trialLabel } from "../../src/study/labels.ts";
import { trialWithSameClip } from "../../src/trials/sameClip.ts";
import { addFurtherClip } from "../commands/clips/addFurtherClip.ts";
import { linkClip } from "../commands/clips/linkClip.ts";
import { type Shell, ShellError } from "../shell/Shell.ts";
import { attempt } from "./attempt.ts";
import { say } from "./messages.ts";
import type { Session } from "./session.ts";

/** A clip on its way into the study. Lives on while another place is open. */
export interface Upload {
  readonly id: number;
  readonly name: string;
  readonly trial: string;
  /** 0 to 1. */
  readonly share: number;
  readonly state: "waiting" | "copying" | "failed";
  readonly failure: string | null;
}

export const uploads = createStore<{ readonly list: readonly Upload[] }>(() => ({ list: [] }));

interface Job {
  readonly id: number;
  readonly session: Session;
  readonly shell: Pick<Shell, "addClip">;
  readonly file: File;
  readonly trial: string;
  /** Beside the clip that the trial has. */
  readonly as: "first" | "further";
  readonly abort: AbortController;
}

const jobs = new Map<number, Job>();
let nextId = 1;
let running = false;

/** The clip that is on its way to a trial, if any; of several the one that comes first. */
export function uploadTo(trial: string, list: readonly Upload[]): Upload | undefined {
  return list.find((u) => u.trial === trial);
}

/** Copies a file into the study and links it to a trial when it is there. One file at a time, in turn. */
export function addClipTo(
  session: Session,
  shell: Pick<Shell, "addClip">,
  file: File,
  trial: string,
  as: Job["as"] = "first",
): void {
  const id = nextId++;
  jobs.set(id, { id, session, shell, file, trial, as, abort: new AbortController() });
  const upload: Upload = { id, name: file.name, trial, share: 0, state: "waiting", failure: null };
  uploads.setState(({ list }) => ({
    list: [...list.filter((u) => u.trial !== trial || u.state !== "failed"), upload],
  }));
  void work();
}

/** Stops copying; a failed one is only taken off the list. */
export function cancelUpload(id: number): void {
  jobs.get(id)?.abort.abort();
  jobs.delete(id);
  uploads.setState(({ list }) => ({ list: list.filter((u) => u.id !== id) }));
}

/** Tries a failed one again. */
export function retryUpload(id: number): void {
  const job = jobs.get(id);
  if (!job) return;
  cancelUpload(id);
  addClipTo(job.session, job.shell, job.file, job.trial, job.as);
}

async function work(): Promise<void> {
  if (running) return;
  running = true;
  try {
    for (let job = nextJob(); job; job = nextJob()) await copy(job);
  } finally {
    running = false;
  }
}

function nextJob(): Job | undefined {
  const waiting = uploads.getState().list.find((u) => u.state === "waiting");
  return waiting && jobs.get(waiting.id);
}

async function copy({ id, session, shell, file, trial, as, abort }: Job): Promise<void> {
  change(id, { state: "copying" });
  try {
    const clip = await shell.addClip(file, (share) => change(id, { share }), abort.signal);
    if (abort.signal.aborted) return;
    if (as === "further") attempt(session, addFurtherClip, { trial, clip, role: "look" });
    else if (attempt(session, linkClip, { trial, clip })) saySameFilm(session, trial, clip.name);
    jobs.delete(id);
    uploads.setState(({ list }) => ({ list: list.filter((u) => u.id !== id) }));
  } catch (error) {
    if (!(error instanceof ShellError)) throw error;
    if (!abort.signal.aborted) change(id, { state: "failed", failure: error.message });
  }
}

function saySameFilm(session: Session, trial: string, name: string): void {
  const { study } = session.getState().whole;
  const other = trialWithSameClip(study, trial);
  if (other === null) return;
  say(
    `"${name}" was added to ${trialLabel(study, trial)}, but it is the same film as that of ${trialLabel(study, other)}. One film shows one run. Take it off the trial it does not show, or choose the part of each in Measure.`,
  );
}

function change(id: number, part: Partial<Upload>): void {
  uploads.setState(({ list }) => ({ list: list.map((u) => (u.id === id ? { ...u, ...part } : u)) }));
}
