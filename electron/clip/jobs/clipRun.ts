import { MeasureError } from "../../../src/errors.ts";
import { checkClipFile, type FileStamp } from "../ffmpeg/clipFailure.ts";
import type { Ffmpeg } from "../ffmpeg/findFfmpeg.ts";
import { changed, type FoundClip, findClip } from "../link/clipSource.ts";
import type { ContentKeys } from "../link/contentKey.ts";
import type { Shares } from "../link/networkShare.ts";
import type { FrameStore } from "../store/frameStore.ts";
import { NOTE_NO_ROOM, type OpenStores } from "../store/openStores.ts";
import { type ClipJob, failed } from "./clipJob.ts";
import { prepareClip } from "./prepareClip.ts";
import type { StoredClip } from "./prepareRun.ts";

/** How much may be written between two looks at the disk bound. */
const LOOK_EVERY_BYTES = 64e6;

/** What a clip's run needs of the study around it. */
export interface Surroundings {
  readonly keys: ContentKeys;
  readonly shares: Shares;
  readonly stores: OpenStores;
  readonly closing: AbortSignal;
  ffmpeg(): Promise<Ffmpeg>;
  /** Removes stores used longest ago; false when all of the room is in use. */
  makeRoom(job: ClipJob): Promise<boolean>;
  /** The clip is to be prepared once more, next. */
  again(job: ClipJob): void;
  /** Frames have come. */
  news(job: ClipJob): void;
}

/** Prepares what is asked for of one clip. Never rejects: what came of it stands in the job. */
export async function runClip(job: ClipJob, around: Surroundings): Promise<void> {
  const run = {
    stop: new AbortController(),
    redirect: new AbortController(),
    stretch: null,
    next: 0,
    begun: performance.now(),
    preparedBefore: 0,
  };
  job.run = run;
  job.state = "preparing";
  try {
    await prepare(job, around, run.stop.signal);
  } catch (error) {
    if (!run.stop.signal.aborted) failed(job, error);
  } finally {
    job.run = null;
    await keepState(job);
  }
}

async function prepare(job: ClipJob, around: Surroundings, stop: AbortSignal): Promise<void> {
  const { keys, stores } = around;
  const ffmpeg = await around.ffmpeg();
  const { file, expected } = job.found;
  if (!file) throw job.found.failure ?? new Error(`no file for ${job.source.clip}`);
  const stamp = await checkClipFile(file);
  // Before a frame of it is shown, the file must be the one the study means. Where the study means none yet, there is
  // nothing to compare with, and a large file is read while its first frames are there already.
  const known = expected === null ? await keys.known(file, stamp) : await keys.of(file, stamp, stop);
  if (expected !== null && known !== expected) return await another(job, known as string, around);
  let reading = known === null ? keys.of(file, stamp, stop) : null;
  reading?.catch(() => undefined);
  if (known !== null) name(job, stamp, known);
  job.store = await stores.ofFile(file, stamp, known, job.source.turn);
  for (;;) {
    if (!(await fill(job, { ffmpeg, file, store: job.store }, around, stop))) return;
    await mustBeAsBefore(file, stamp, job.store, keys);
    if (!reading) break;
    const sha256 = await reading;
    reading = null;
    await mustBeAsBefore(file, stamp, job.store, keys);
    job.store = await stores.adopt(job.store, sha256);
    name(job, stamp, sha256);
  }
  job.state = "ready";
  job.wanted = null;
}

/** @returns false when it was ended before all was there */
async function fill(
  job: ClipJob,
  { ffmpeg, file, store }: StoredClip,
  { makeRoom, news, closing }: Surroundings,
  stop: AbortSignal,
): Promise<boolean> {
  // Another ffmpeg may number or draw frames otherwise.
  if (store.rotten || (store.prepared > 0 && store.decoder !== ffmpeg.version)) await store.clear();
  if (store.state === "complete") return true;
  let looked = store.bytes;
  if (!(await makeRoom(job))) {
    pause(job);
    return false;
  }
  const end = await prepareClip(ffmpeg, file, store, {
    stop,
    closing,
    goal: () => ({ part: job.source.part, wanted: job.wanted }),
    redirect: () => {
      const redirect = new AbortController();
      if (job.run) job.run.redirect = redirect;
      return redirect.signal;
    },
    onRun: (stretch) => {
      if (job.run)
        Object.assign(job.run, {
          stretch,
          next: stretch.from,
          begun: performance.now(),
          preparedBefore: store.prepared,
        });
    },
    onReady: (next) => {
      if (job.run) job.run.next = next;
      news(job);
      if (store.bytes < looked + LOOK_EVERY_BYTES) return;
      looked = store.bytes;
      makeRoom(job)
        .then((room) => {
          if (!room && job.run) pause(job);
        })
        .catch((error: unknown) => console.error(error));
    },
  });
  return end === "complete";
}

/** The content is known now. */
function name(job: ClipJob, stamp: FileStamp, sha256: string): void {
  const { found } = job;
  job.found = {
    ...found,
    stamp,
    expected: sha256,
    link: { ...found.link, sha256, bytes: stamp.bytes },
  };
}

/** A clip that is still being copied, or written to, gives frames of no one content. */
async function mustBeAsBefore(
  file: string,
  before: FileStamp,
  store: FrameStore,
  keys: ContentKeys,
): Promise<void> {
  const now = await checkClipFile(file);
  if (now.bytes === before.bytes && now.mtimeMs === before.mtimeMs) return;
  await store.clear();
  await keys.forget(file);
  throw new MeasureError(
    "clip-changing",
    `${file} was written to while it was prepared`,
    "The file was changed while it was being prepared; it may still be being copied. It is prepared anew once that is done.",
  );
}

/** The file holds another content than the study means. */
async function another(job: ClipJob, sha256: string, { keys, shares, again }: Surroundings): Promise<void> {
  const { source, found } = job;
  const stamp = await checkClipFile(source.file);
  // The size was right, so only reading it told; the original may have been moved away.
  const elsewhere: FoundClip = await findClip(source, keys, shares);
  job.found = elsewhere.file ? elsewhere : changed(source, found.expected, stamp, sha256);
  if (job.found.failure) throw job.found.failure;
  again(job);
}

function pause(job: ClipJob): void {
  job.state = "stopped";
  job.note = NOTE_NO_ROOM();
  job.run?.stop.abort();
}

async function keepState({ state, store }: ClipJob): Promise<void> {
  if (state === "stopped") await store?.saveState("stopped").catch(() => undefined);
  await store?.touch();
}
