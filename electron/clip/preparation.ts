import { join } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import type { ClipIndex, ClipLinkState, Reach } from "../../src/study/exchange.ts";
import { checkClipFile, type FileStamp } from "./clipFailure.ts";
import { type ClipJob, failed, jobIndex } from "./clipJob.ts";
import { type ClipSource, changed, type FoundClip, findClip } from "./clipSource.ts";
import { ContentKeys } from "./contentKey.ts";
import { type Ffmpeg, findFfmpeg } from "./findFfmpeg.ts";
import { type FrameAnswer, frameAnswer } from "./frameAnswer.ts";
import { type FrameStore, storeKey } from "./frameStore.ts";
import { NOTE_NO_ROOM, NOTE_TAKEN, OpenStores } from "./openStores.ts";
import { planFor, prepareClip } from "./prepareClip.ts";
import { reachOf } from "./reach.ts";

/** How much may be written between two looks at the disk bound. */
const LOOK_EVERY_BYTES = 64e6;

/**
 * The frame stores of one study's clips, made one at a time, most wanted first. Asking for another clip moves the
 * one run there; what it had prepared is kept and gone on with later.
 */
export class Preparation {
  readonly #stores: OpenStores;
  readonly #keys: ContentKeys;
  readonly #jobs = new Map<string, ClipJob>();
  readonly #opening = new Map<string, Promise<ClipJob>>();
  readonly #find: () => Promise<Ffmpeg>;
  #ffmpeg: Ffmpeg | null = null;
  #waiting: string[] = [];
  #working: Promise<void> | null = null;
  #onScreen: string | null = null;
  #following: Promise<void> = Promise.resolve();
  readonly #closing = new AbortController();

  constructor(cacheFolder: string, find: () => Promise<Ffmpeg> = findFfmpeg) {
    this.#stores = new OpenStores(join(cacheFolder, "frames"));
    this.#keys = new ContentKeys(join(cacheFolder, "clips.json"));
    this.#find = find;
  }

  /** Remembers a hash that was computed while the file was being copied. */
  async rememberHash(file: string, sha256: string): Promise<void> {
    await this.#keys.remember(file, await checkClipFile(file), sha256);
  }

  /** The clips of the study from now on: new ones are queued, others gone on with as the study says now. */
  follow(sources: readonly ClipSource[]): Promise<void> {
    this.#following = this.#following.then(() => this.#follow(sources));
    return this.#following;
  }

  /** Knows a clip that was just added, and queues it. */
  async take(source: ClipSource): Promise<void> {
    await this.#job(source);
  }

  async #follow(sources: readonly ClipSource[]): Promise<void> {
    const named = new Set(sources.map((s) => s.clip));
    for (const [clip, job] of this.#jobs) {
      if (named.has(clip)) continue;
      this.#forget(clip, job);
    }
    for (const source of sources) {
      if (this.#closing.signal.aborted) return;
      await this.#job(source).catch((error: unknown) => console.error(error));
    }
  }

  /** Puts the clip first and starts it, also after it was stopped or failed. */
  async first(source: ClipSource): Promise<void> {
    const job = await this.#freshJob(source);
    this.#onScreen = source.clip;
    if (job.state === "ready" || job.found.link.state === "changed") return;
    if (job.state === "failed") job.found = await findClip(source, this.#keys);
    this.#putFirst(job);
  }

  /** A person looks at frame `n`: its clip comes first, and the run moves there if that is provably exact. */
  async want(source: ClipSource, n: number): Promise<Reach> {
    const job = await this.#freshJob(source);
    this.#onScreen = source.clip;
    await this.#stores.touch(job.store);
    const { part } = source;
    const there = job.store?.has(n) ?? false;
    job.wanted = there ? null : n;
    const stopped = job.state === "stopped" && job.note === null;
    if (job.state === "waiting" || (job.state === "stopped" && !stopped)) this.#putFirst(job);
    if (there) return "now";
    if (job.state === "failed" || job.state === "ready" || stopped) return "never";
    if (part && (n < part.first || n > part.last)) return "never";
    return this.#reach(job, n);
  }

  /** Stops preparing the clip; frames that are ready stay usable. */
  async stop(clip: string): Promise<void> {
    this.#waiting = this.#waiting.filter((c) => c !== clip);
    const job = this.#jobs.get(clip);
    if (!job || job.state === "ready" || job.state === "failed") return;
    job.state = "stopped";
    job.note = null;
    if (job.run) job.run.stop.abort();
    else await job.store?.saveState("stopped");
  }

  async index(source: ClipSource, timesFrom = 0): Promise<ClipIndex & { readonly timesFrom: number }> {
    const job = await this.#freshJob(source);
    const place = this.#waiting.indexOf(source.clip);
    const others = [...this.#jobs.values()].some((j) => j.run && j !== job) ? 1 : 0;
    const queue = job.run ? 0 : place < 0 ? null : place + others;
    return jobIndex(job, queue, timesFrom);
  }

  async frame(source: ClipSource, n: number): Promise<FrameAnswer> {
    const job = await this.#job(source);
    await this.#stores.touch(job.store);
    return frameAnswer(job, n);
  }

  /** Searches for a moved clip once more. */
  async look(source: ClipSource): Promise<ClipLinkState> {
    const job = this.#jobs.get(source.clip);
    if (job?.run) return job.found.link;
    this.#jobs.delete(source.clip);
    return (await this.#job(source)).found.link;
  }

  /** A person offers `file` for the clip. Of the same content it is what the study means. */
  async offer(source: ClipSource, file: string, sha256: string): Promise<{ readonly same: boolean }> {
    const stamp = await checkClipFile(file);
    await this.#keys.remember(file, stamp, sha256);
    const job = await this.#job(source);
    if (job.found.expected === null || job.found.expected === sha256) return { same: true };
    this.#setAside(job);
    job.found = changed(source, job.found.expected, stamp, sha256, file);
    failed(job, job.found.failure);
    return { same: false };
  }

  /**
   * A person confirmed the file that `index().link` names.
   *
   * @throws {MeasureError} `link-differs` when that is not what is there now
   */
  async confirm(
    source: ClipSource,
    sha256: string,
  ): Promise<{ readonly file: string; readonly bytes: number }> {
    const { link } = (await this.#job(source)).found;
    const stamp = link.path === null ? null : await checkClipFile(link.path);
    if (!link.path || !stamp || (await this.#keys.of(link.path, stamp)) !== sha256)
      throw new MeasureError(
        "link-differs",
        `confirm got ${sha256}; ${link.path} is another content now`,
        "The file has changed once more since you were asked. Look at it again, then confirm.",
      );
    await this.#keys.confirm(link.path, sha256);
    return { file: link.path, bytes: stamp.bytes };
  }

  /** Ends the run and closes all files. What was prepared stays on disk. */
  async close(): Promise<void> {
    this.#closing.abort();
    this.#waiting = [];
    await this.#following;
    this.#waiting = [];
    for (const job of this.#jobs.values()) job.run?.stop.abort();
    await this.#working;
    await this.#stores.close();
  }

  async #reach(job: ClipJob, n: number): Promise<Reach> {
    const { store, run, found } = job;
    const plan =
      this.#ffmpeg && store && found.file
        ? await planFor(this.#ffmpeg, found.file, store, this.#closing.signal)
        : null;
    const { reach, move } = reachOf(job, n, plan);
    if (move && job.run === run) run?.redirect.abort();
    return reach;
  }

  /** The clip's job; looked at anew when the file may have changed since. */
  async #freshJob(source: ClipSource): Promise<ClipJob> {
    const job = await this.#job(source);
    if (job.run || this.#opening.has(source.clip)) return job;
    const file = job.found.file ?? job.found.link.path ?? source.file;
    const now = await checkClipFile(file).catch(() => null);
    const { stamp } = job.found;
    if (now?.bytes === stamp?.bytes && now?.mtimeMs === stamp?.mtimeMs) return job;
    if (this.#jobs.get(source.clip) === job) this.#forget(source.clip, job);
    return this.#job(source);
  }

  /** One job a clip, as the study has it. */
  async #job(source: ClipSource): Promise<ClipJob> {
    const job = this.#jobs.get(source.clip);
    if (job && job.source.file === source.file && job.source.sha256 === source.sha256) {
      if (!samePart(job.source, source)) this.#takePart(job, source);
      return job;
    }
    if (job) this.#forget(source.clip, job);
    let opening = this.#opening.get(source.clip);
    if (!opening) {
      opening = this.#openJob(source).finally(() => this.#opening.delete(source.clip));
      this.#opening.set(source.clip, opening);
    }
    return opening;
  }

  async #openJob(source: ClipSource): Promise<ClipJob> {
    const found = await findClip(source, this.#keys);
    const job: ClipJob = {
      ...{ source, found, state: "waiting", store: null, failure: null, note: null, wanted: null, run: null },
    };
    const { file, stamp, failure, expected } = found;
    const sha256 =
      file && stamp ? await this.#keys.known(file, stamp) : found.link.state === "missing" ? expected : null;
    if (sha256) job.store = await this.#stores.of(sha256);
    if (failure) failed(job, failure);
    else if (job.store?.state === "stopped") job.state = "stopped";
    if (job.store?.state === "complete" && found.link.state !== "changed") job.state = "ready";
    this.#jobs.set(source.clip, job);
    if (job.state === "waiting") {
      this.#waiting.push(source.clip);
      this.#work();
    }
    return job;
  }

  #forget(clip: string, job: ClipJob): void {
    this.#jobs.delete(clip);
    this.#waiting = this.#waiting.filter((c) => c !== clip);
    job.run?.stop.abort();
  }

  #takePart(job: ClipJob, source: ClipSource): void {
    job.source = source;
    if (job.run) {
      job.run.redirect.abort();
      return;
    }
    if (job.state !== "ready" && job.state !== "waiting") return;
    job.state = "waiting";
    if (!this.#waiting.includes(source.clip)) this.#waiting.unshift(source.clip);
    this.#work();
  }

  #putFirst(job: ClipJob): void {
    if (job.run && job.state === "preparing") return;
    const { clip } = job.source;
    job.state = "waiting";
    job.failure = null;
    job.note = null;
    for (const other of this.#jobs.values()) if (other !== job && other.run) this.#setAside(other);
    this.#waiting = [clip, ...this.#waiting.filter((c) => c !== clip)];
    this.#work();
  }

  /** The run makes way; it is gone on with next. */
  #setAside(job: ClipJob): void {
    if (!job.run || job.state !== "preparing") return;
    job.state = "waiting";
    this.#waiting.unshift(job.source.clip);
    job.run.stop.abort();
  }

  #work(): void {
    this.#working ??= this.#workThrough().finally(() => {
      this.#working = null;
      // Queued while the last one was just ending.
      if (this.#waiting.length > 0 && !this.#closing.signal.aborted) this.#work();
    });
  }

  async #workThrough(): Promise<void> {
    for (let clip = this.#waiting.shift(); clip !== undefined; clip = this.#waiting.shift()) {
      if (this.#closing.signal.aborted) return;
      const job = this.#jobs.get(clip);
      if (job?.state === "waiting") await this.#run(job);
    }
  }

  async #run(job: ClipJob): Promise<void> {
    const run = {
      ...{ stop: new AbortController(), redirect: new AbortController(), stretch: null },
      ...{ next: 0, begun: performance.now(), preparedBefore: 0 },
    };
    job.run = run;
    job.state = "preparing";
    try {
      await this.#prepare(job, run.stop.signal);
    } catch (error) {
      if (!run.stop.signal.aborted) failed(job, error);
    } finally {
      job.run = null;
      await keepState(job);
    }
  }

  async #prepare(job: ClipJob, stop: AbortSignal): Promise<void> {
    this.#ffmpeg ??= await this.#find();
    const { file, expected } = job.found;
    if (!file) throw job.found.failure ?? new Error(`no file for ${job.source.clip}`);
    const stamp = await checkClipFile(file);
    const sha256 = await this.#keys.of(file, stamp, stop);
    if (expected && sha256 !== expected) return await this.#changed(job, sha256);
    job.found = {
      ...job.found,
      stamp,
      expected: sha256,
      link: { ...job.found.link, sha256, bytes: stamp.bytes },
    };
    const store = await this.#stores.of(sha256);
    job.store = store;
    let looked = store.bytes;
    if (store.state !== "complete") {
      if (!(await this.#room(job))) return this.#pause(job);
      const end = await prepareClip(this.#ffmpeg, file, store, {
        stop,
        closing: this.#closing.signal,
        goal: () => ({ part: job.source.part, wanted: job.wanted }),
        redirect: () => {
          const redirect = new AbortController();
          if (job.run) job.run.redirect = redirect;
          return redirect.signal;
        },
        onRun: (stretch) => {
          if (job.run)
            Object.assign(job.run, {
              ...{ stretch, next: stretch.from, begun: performance.now(), preparedBefore: store.prepared },
            });
        },
        onReady: (next) => {
          if (job.run) job.run.next = next;
          if (store.bytes < looked + LOOK_EVERY_BYTES) return;
          looked = store.bytes;
          this.#room(job)
            .then((room) => {
              if (!room && job.run) this.#pause(job);
            })
            .catch((error: unknown) => console.error(error));
        },
      });
      if (end === "interrupted") return;
      await this.#mustBeAsBefore(file, stamp, store);
    }
    job.state = "ready";
    job.wanted = null;
  }

  /** A clip that is still being copied, or written to, gives frames of no one content. */
  async #mustBeAsBefore(file: string, before: FileStamp, store: FrameStore): Promise<void> {
    const now = await checkClipFile(file);
    if (now.bytes === before.bytes && now.mtimeMs === before.mtimeMs) return;
    await store.clear();
    await this.#keys.forget(file);
    throw new MeasureError(
      "clip-changing",
      `${file} was written to while it was prepared`,
      "The file was changed while it was being prepared; it may still be being copied. It is prepared anew once that is done.",
    );
  }

  async #changed(job: ClipJob, sha256: string): Promise<void> {
    const { source, found } = job;
    const stamp = await checkClipFile(source.file);
    // The size was right, so only reading it told; the original may have been moved away.
    const elsewhere: FoundClip = await findClip(source, this.#keys);
    job.found = elsewhere.file ? elsewhere : changed(source, found.expected, stamp, sha256);
    if (job.found.failure) throw job.found.failure;
    job.state = "waiting";
    this.#waiting.unshift(source.clip);
  }

  /** Clips of this study stay as long as nobody waits for another one; the one on screen always does. */
  #room(job: ClipJob): Promise<boolean> {
    const inUse = new Set([job.store?.key, this.#jobs.get(this.#onScreen ?? "")?.store?.key]);
    const background = job.source.clip !== this.#onScreen;
    return this.#stores.makeRoom(
      (key) => inUse.has(key) || (background && this.#isOfStudy(key)),
      (taken) => {
        for (const other of this.#jobs.values()) {
          if (other.store !== taken || other.state === "failed") continue;
          other.state = "stopped";
          other.note = NOTE_TAKEN();
          this.#waiting = this.#waiting.filter((c) => c !== other.source.clip);
        }
      },
    );
  }

  #isOfStudy(name: string): boolean {
    return [...this.#jobs.values()].some(
      (job) => job.store?.key === name || (job.found.expected && storeKey(job.found.expected) === name),
    );
  }

  #pause(job: ClipJob): void {
    job.state = "stopped";
    job.note = NOTE_NO_ROOM();
    job.run?.stop.abort();
  }
}

async function keepState({ state, store }: ClipJob): Promise<void> {
  if (state === "stopped") await store?.saveState("stopped").catch(() => undefined);
  await store?.touch();
}

function samePart(a: ClipSource, b: ClipSource): boolean {
  return a.part?.first === b.part?.first && a.part?.last === b.part?.last;
}
