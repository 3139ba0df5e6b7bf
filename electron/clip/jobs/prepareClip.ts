import { MeasureError } from "../../../src/errors.ts";
import type { ClipPart } from "../../../src/study/exchange.ts";
import { nothingDecoded } from "../ffmpeg/clipFailure.ts";
import type { Ffmpeg } from "../ffmpeg/findFfmpeg.ts";
import { stated } from "../ffmpeg/stated.ts";
import type { FrameStore } from "../store/frameStore.ts";
import { firstThere } from "../store/ranges.ts";
import { type PacketPlan, packetPlan, startBefore } from "./packetPlan.ts";
import { prepareRun, type RunHooks } from "./prepareRun.ts";
import type { Stretch } from "./stretch.ts";

/** What is asked for. Looked at before each run, so that it may change while one is going. */
export interface Goal {
  readonly part: ClipPart | null;
  /** The frame a person waits for; null = nobody waits. */
  readonly wanted: number | null;
}

export interface PrepareHooks extends Omit<RunHooks, "signal"> {
  readonly goal: () => Goal;
  /** Ends the preparation. */
  readonly stop: AbortSignal;
  /** Ends also what is read for a later jump. */
  readonly closing?: AbortSignal;
  /** Ends the run that is going, so that the goal is looked at again; a new one for each run. */
  readonly redirect: () => AbortSignal;
  readonly onRun?: (stretch: Stretch) => void;
}

/** After a jump so many frames before the wanted one are made with it, to step back from it. */
const BEFORE_WANTED = 15;

/** So many are there before packets are read beside the decode. */
const FIRST_FRAMES = 20;

/** The packets of a store's clip, read once a session. */
const plans = new WeakMap<FrameStore, Promise<PacketPlan>>();

/**
 * What the packets say; proves nothing for a clip whose decode once disagreed.
 *
 * @param closing ends the reading when the study is closed
 */
export async function planFor(
  ffmpeg: Ffmpeg,
  file: string,
  store: FrameStore,
  closing?: AbortSignal,
): Promise<PacketPlan> {
  let plan = plans.get(store);
  if (!plan) {
    const interlaced = store.clip?.facts.interlaced ?? null;
    plan = stated(file).then((header) => packetPlan(ffmpeg, file, { stated: header, interlaced }, closing));
    plans.set(store, plan);
    plan.catch(() => plans.delete(store));
  }
  const read = await plan;
  if (!store.inOrderOnly) return read;
  return { ...read, pts: null, starts: [], why: "its packets and its frames disagree" };
}

/** Resolves when no process reads packets for this store any more. */
export async function planRead(store: FrameStore): Promise<void> {
  await plans.get(store)?.catch(() => undefined);
}

/**
 * Prepares what the goal asks for, run by run. From the clip's start everything is right by itself; a run begins
 * elsewhere only at a start whose number and pictures the packets prove, and must then give exactly the times they say.
 * Once it does not, everything is made anew in one decode from the start.
 *
 * @throws {MeasureError} when not one frame can be decoded, or the disk is full
 */
export async function prepareClip(
  ffmpeg: Ffmpeg,
  file: string,
  store: FrameStore,
  hooks: PrepareHooks,
): Promise<"complete" | "interrupted"> {
  let anew = 0;
  for (;;) {
    if (hooks.stop.aborted) return "interrupted";
    const signal = AbortSignal.any([hooks.stop, hooks.redirect()]);
    const stretch = await nextStretch(ffmpeg, file, store, hooks.goal(), hooks.closing);
    if (!stretch) break;
    const plan = stretch.start ? await planFor(ffmpeg, file, store, hooks.closing) : null;
    hooks.onRun?.(stretch);
    const before = store.prepared;
    const onReady = (next: number) => {
      // In case somebody wants to jump; needed at the end in any case. The first frames have the processor to themselves.
      if (store.clip?.packets === null && store.prepared >= FIRST_FRAMES)
        void planFor(ffmpeg, file, store, hooks.closing).catch(() => undefined);
      hooks.onReady(next);
    };
    const run = prepareRun({ ffmpeg, file, store }, plan, stretch, { ...hooks, signal, onReady });
    const { end, log } = await orDiskFull(store, run);
    if (end === "differs") {
      anew += 1;
      if (anew > 2) throw new Error(`decodes of ${file} from its start give different times`);
      await beginAnew(store);
    } else if (end === "end-of-clip" && (store.prepared === 0 || !store.clip))
      throw await nothingDecoded(file, log);
    else if (end !== "interrupted" && end !== "end-of-clip" && store.prepared === before)
      throw new Error(`a run over ${JSON.stringify(stretch)} of ${file} gave nothing`);
  }
  if (store.clip && store.clip.packets === null)
    store.clip = { ...store.clip, packets: (await planFor(ffmpeg, file, store, hooks.closing)).counts };
  const whole = store.clip !== null && store.readyFrom() === store.clip.count;
  await store.saveState(whole ? "complete" : "partial");
  return "complete";
}

/** What to prepare next; null when everything asked for is there. */
export async function nextStretch(
  ffmpeg: Ffmpeg,
  file: string,
  store: FrameStore,
  { part, wanted }: Goal,
  closing?: AbortSignal,
): Promise<Stretch | null> {
  const first = part?.first ?? 0;
  const end = Math.min(
    part ? part.last + 1 : Number.POSITIVE_INFINITY,
    store.clip?.count ?? Number.POSITIVE_INFINITY,
  );
  let from = store.readyFrom(first);
  if (wanted !== null && wanted >= first && wanted < end && wanted > from && !store.has(wanted)) {
    const start = startBefore(await planFor(ffmpeg, file, store, closing), wanted);
    // What lies between the start and there is decoded, but made into pictures later: that takes twice as long.
    if (start && start.ordinal > from)
      from = store.readyFrom(Math.max(start.ordinal, first, wanted - BEFORE_WANTED));
  }
  if (from >= end) return null;
  const start = from === 0 ? null : startBefore(await planFor(ffmpeg, file, store, closing), from);
  const until = Math.min(firstThere(store.frames, from) ?? Number.POSITIVE_INFINITY, end);
  return {
    from,
    until: Number.isFinite(until) && until !== store.clip?.count ? until : null,
    start: start && start.ordinal > 0 ? start : null,
  };
}

async function beginAnew(store: FrameStore): Promise<void> {
  store.renumbered ||= store.prepared > 0;
  store.inOrderOnly = true;
  await store.clear();
}

async function orDiskFull<T>(store: FrameStore, run: Promise<T>): Promise<T> {
  try {
    return await run;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "ENOSPC") throw error;
    throw new MeasureError(
      "disk-full",
      `no space left for the frame store ${store.folder}`,
      `The disk with the study is full, so only ${store.prepared} frames of the clip could be prepared. Free some space (about 0.3 MB a frame), then prepare it again.`,
    );
  }
}
