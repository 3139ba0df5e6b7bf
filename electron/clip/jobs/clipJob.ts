import { MeasureError } from "../../../src/errors.ts";
import type { ClipIndex } from "../../../src/study/exchange.ts";
import type { ClipSource, FoundClip } from "../link/clipSource.ts";
import type { FrameStore } from "../store/frameStore.ts";
import { storeIndex } from "../store/storeIndex.ts";
import type { Stretch } from "./stretch.ts";

/** The run that is going for a clip. */
export interface GoingRun {
  readonly stop: AbortController;
  redirect: AbortController;
  stretch: Stretch | null;
  /** The frame that becomes ready next. */
  next: number;
  begun: number;
  preparedBefore: number;
}

/** One clip of the study and how far it has come. */
export interface ClipJob {
  source: ClipSource;
  found: FoundClip;
  state: ClipIndex["state"];
  store: FrameStore | null;
  failure: { readonly code: string; readonly text: string } | null;
  note: string | null;
  /** What the file says it lasts, seconds. */
  lasts: number | null;
  /** Long, and nobody has said yet which part of it matters. */
  asksPart: boolean;
  /** The frame a person waits for. */
  wanted: number | null;
  run: GoingRun | null;
}

/** Too short to say how fast it goes. */
const LEAST_SECONDS = 0.4;

/** Frames a second of the run that is going; null while that cannot be told. */
export function rateOf({ run, store }: ClipJob): number | null {
  if (!run || !store) return null;
  const seconds = (performance.now() - run.begun) / 1000;
  const frames = store.prepared - run.preparedBefore;
  return seconds > LEAST_SECONDS && frames > 0 ? frames / seconds : null;
}

/** A trial is shorter, also where it plays eight times slower than life; more takes minutes and gigabytes to prepare. */
const LONG_SECONDS = 60;

/** Whether a person is asked first which part of it matters. */
export function isLong({ lasts, source, store }: Pick<ClipJob, "lasts" | "source" | "store">): boolean {
  return source.part === null && lasts !== null && lasts > LONG_SECONDS && store?.state !== "complete";
}

/** `queue`: how many clips come first. */
export function jobIndex(job: ClipJob, queue: number | null, timesFrom = 0) {
  const { source, state, store, failure, note, found } = job;
  const { part } = source;
  const index = storeIndex(store, part, timesFrom);
  const warnings = [...index.warnings];
  if (found.link.state === "missing" && index.ready > 0 && found.link.text)
    warnings.unshift({
      code: "clip-missing",
      text: `${found.link.text} Frames prepared before can still be used.`,
    });
  return {
    clip: source.clip,
    state,
    ...index,
    warnings,
    part,
    progress: progressOf(job, index),
    queue,
    note,
    asksPart: job.asksPart,
    lasts: job.lasts,
    turn: source.turn ?? 0,
    link: found.link,
    failure: failure?.text ?? null,
    failureCode: failure?.code ?? null,
  } satisfies ClipIndex & { timesFrom: number };
}

function progressOf(job: ClipJob, index: ReturnType<typeof storeIndex>): ClipIndex["progress"] {
  const { part } = job.source;
  const { count } = index;
  const first = part?.first ?? 0;
  const end = Math.max(first, part ? Math.min(part.last + 1, count || part.last + 1) : count);
  const done = part
    ? (job.store?.frames.slice(first, end).filter((f) => f !== undefined).length ?? 0)
    : (job.store?.prepared ?? 0);
  // One frame tells nothing of how many there are.
  if (!part && !index.countIsExact && index.rateMedianHz === null)
    return { done, of: 0, framesPerSecond: null, secondsLeft: null };
  const framesPerSecond = rateOf(job);
  const left = framesPerSecond === null ? null : Math.max(0, end - first - done) / framesPerSecond;
  return { done, of: end - first, framesPerSecond, secondsLeft: left };
}

export function failed(job: ClipJob, error: unknown): void {
  job.state = "failed";
  if (error instanceof MeasureError) {
    job.failure = { code: error.code, text: error.coach };
    return;
  }
  console.error(error);
  job.failure = { code: "bug", text: `The clip could not be prepared: ${(error as Error).message}` };
}
