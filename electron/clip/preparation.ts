import { join } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import type { ClipIndex } from "../../src/study/exchange.ts";
import { checkClipFile, type FileStamp } from "./clipFailure.ts";
import { ContentKeys } from "./contentKey.ts";
import { type Ffmpeg, findFfmpeg } from "./findFfmpeg.ts";
import { FrameStore } from "./frameStore.ts";
import { prepareClip } from "./prepareClip.ts";
import { pruneStores } from "./pruneStores.ts";
import { storeIndex } from "./storeIndex.ts";

interface Job {
  readonly clip: string;
  readonly file: string;
  /** The file when the job began; null = it could not be read then. */
  readonly stamp: FileStamp | null;
  state: ClipIndex["state"];
  store: FrameStore | null;
  failure: string | null;
  run: AbortController | null;
}

export type FrameAnswer =
  | {
      readonly kind: "frame";
      readonly jpeg: Uint8Array<ArrayBuffer>;
      readonly key: string;
      readonly time: number;
    }
  | { readonly kind: "not-yet" }
  | { readonly kind: "beyond"; readonly count: number }
  | { readonly kind: "no-picture" }
  | { readonly kind: "failed"; readonly reason: string };

/**
 * The frame stores of one study's clips, made one at a time, most wanted first. Asking for another clip moves the
 * one run there; what it had prepared is kept and gone on with later.
 */
export class Preparation {
  readonly #stores: string;
  readonly #keys: ContentKeys;
  readonly #jobs = new Map<string, Job>();
  /** One store a content: two clips may be the same file. */
  readonly #open = new Map<string, Promise<FrameStore>>();
  readonly #find: () => Promise<Ffmpeg>;
  #ffmpeg: Ffmpeg | null = null;
  #waiting: string[] = [];
  #working: Promise<void> | null = null;
  #closed = false;

  constructor(cacheFolder: string, find: () => Promise<Ffmpeg> = findFfmpeg) {
    this.#stores = join(cacheFolder, "frames");
    this.#keys = new ContentKeys(join(cacheFolder, "clips.json"));
    this.#find = find;
  }

  /** Remembers a hash that was computed while the file was being copied. */
  async rememberHash(file: string, sha256: string): Promise<void> {
    await this.#keys.remember(file, await checkClipFile(file), sha256);
  }

  /** Knows the clip from now on; finds what an earlier session has prepared. Queues it when that is not all. */
  async want(clip: string, file: string): Promise<void> {
    await this.#job(clip, file);
  }

  /** Puts the clip first and starts it, also after it was stopped or failed. */
  async first(clip: string, file: string): Promise<void> {
    const job = await this.#freshJob(clip, file);
    if (job.state === "ready" || job.state === "preparing") return;
    job.state = "waiting";
    job.failure = null;
    this.#waiting = [clip, ...this.#waiting.filter((c) => c !== clip)];
    for (const other of this.#jobs.values()) if (other.state === "preparing") this.#setAside(other);
    this.#work();
  }

  /** Stops preparing the clip; frames that are ready stay usable. */
  async stop(clip: string): Promise<void> {
    this.#waiting = this.#waiting.filter((c) => c !== clip);
    const job = this.#jobs.get(clip);
    if (!job || job.state === "ready" || job.state === "failed") return;
    job.state = "stopped";
    if (job.run) job.run.abort();
    else await job.store?.saveState("stopped");
  }

  async index(
    clip: string,
    file: string,
    timesFrom = 0,
  ): Promise<ClipIndex & { readonly timesFrom: number }> {
    const job = await this.#freshJob(clip, file);
    return storeIndex(clip, job.state, job.store, job.failure, timesFrom);
  }

  async frame(clip: string, file: string, n: number): Promise<FrameAnswer> {
    const { store, state, failure } = await this.#job(clip, file);
    if (store && n < store.frames.length) {
      const jpeg = await store.picture(n);
      const { times } = storeIndex(clip, state, store, null, n, n + 1);
      return jpeg ? { kind: "frame", jpeg, key: store.key, time: times[0] ?? 0 } : { kind: "no-picture" };
    }
    if (state === "ready") return { kind: "beyond", count: store?.frames.length ?? 0 };
    if (state === "failed") return { kind: "failed", reason: failure ?? "" };
    return { kind: "not-yet" };
  }

  /** Ends the run and closes all files. What was prepared stays on disk. */
  async close(): Promise<void> {
    this.#closed = true;
    this.#waiting = [];
    for (const job of this.#jobs.values()) job.run?.abort();
    await this.#working;
    for (const store of this.#open.values()) await (await store).close();
  }

  readonly #opening = new Map<string, Promise<Job>>();

  /** The clip's job; begins anew when the file's content may have changed since. */
  async #freshJob(clip: string, file: string): Promise<Job> {
    const job = await this.#job(clip, file);
    if (job.run || this.#opening.has(clip)) return job;
    const now = await checkClipFile(file).catch(() => null);
    if (now?.bytes === job.stamp?.bytes && now?.mtimeMs === job.stamp?.mtimeMs) return job;
    this.#jobs.delete(clip);
    this.#waiting = this.#waiting.filter((c) => c !== clip);
    return this.#job(clip, file);
  }

  /** One job a clip. */
  async #job(clip: string, file: string): Promise<Job> {
    const job = this.#jobs.get(clip);
    if (job && job.file === file) return job;
    let opening = this.#opening.get(clip);
    if (!opening) {
      opening = this.#openJob(clip, file).finally(() => this.#opening.delete(clip));
      this.#opening.set(clip, opening);
    }
    return opening;
  }

  async #openJob(clip: string, file: string): Promise<Job> {
    const stamp = await checkClipFile(file).catch(() => null);
    const job: Job = { clip, file, stamp, state: "waiting", store: null, failure: null, run: null };
    try {
      const sha256 = await this.#keys.known(file, await checkClipFile(file));
      if (sha256) job.store = await this.#store(sha256);
      if (job.store?.state === "complete") job.state = "ready";
      if (job.store?.state === "stopped") job.state = "stopped";
    } catch (error) {
      this.#fail(job, error);
    }
    this.#jobs.set(clip, job);
    if (job.state === "waiting") {
      this.#waiting.push(clip);
      this.#work();
    }
    return job;
  }

  #store(sha256: string): Promise<FrameStore> {
    const open = this.#open.get(sha256) ?? FrameStore.open(this.#stores, sha256);
    this.#open.set(sha256, open);
    return open;
  }

  #setAside(job: Job): void {
    job.state = "waiting";
    this.#waiting.splice(1, 0, job.clip);
    job.run?.abort();
  }

  #work(): void {
    this.#working ??= this.#workThrough().finally(() => {
      this.#working = null;
    });
  }

  async #workThrough(): Promise<void> {
    for (
      let clip = this.#waiting.shift();
      clip !== undefined && !this.#closed;
      clip = this.#waiting.shift()
    ) {
      const job = this.#jobs.get(clip);
      if (job?.state === "waiting") await this.#run(job);
    }
  }

  async #run(job: Job): Promise<void> {
    const run = new AbortController();
    job.run = run;
    job.state = "preparing";
    try {
      this.#ffmpeg ??= await this.#find();
      const sha256 = await this.#keys.of(job.file, await checkClipFile(job.file), run.signal);
      job.store = await this.#store(sha256);
      if (job.store.state !== "complete") {
        await pruneStores(this.#stores, await this.#inUse());
        await prepareClip(this.#ffmpeg, job.file, job.store, run.signal);
      }
      if (job.store.state === "complete") job.state = "ready";
      else if ((job.state as string) === "stopped") await job.store.saveState("stopped");
      await job.store.touch();
    } catch (error) {
      if (!run.signal.aborted) this.#fail(job, error);
      else if ((job.state as string) === "stopped") await job.store?.saveState("stopped");
    } finally {
      job.run = null;
    }
  }

  /** Stores of this study's clips stay, however large they are together. */
  async #inUse(): Promise<Set<string>> {
    return new Set((await Promise.all(this.#open.values())).map((store) => store.key));
  }

  #fail(job: Job, error: unknown): void {
    job.state = "failed";
    job.failure =
      error instanceof MeasureError
        ? error.coach
        : `The clip could not be prepared: ${(error as Error).message}`;
    if (!(error instanceof MeasureError)) console.error(error);
  }
}
