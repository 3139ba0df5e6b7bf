import { join } from "node:path";
import { MeasureError } from "../../../src/errors.ts";
import type { ClipIndex, FramesAt, Reach } from "../../../src/study/exchange.ts";
import { type Disk, realDisk } from "../../disk/disk.ts";
import { type Ffmpeg, findFfmpeg } from "../ffmpeg/findFfmpeg.ts";
import { mustBeFilm } from "../ffmpeg/mustBeFilm.ts";
import { type ClipSource, findClip } from "../link/clipSource.ts";
import { ContentKeys } from "../link/contentKey.ts";
import { Shares } from "../link/networkShare.ts";
import { framesAt } from "../overview/framesAt.ts";
import { type Glimpse, KeyPictures } from "../overview/keyPictures.ts";
import { type FrameAnswer, frameAnswer } from "../store/frameAnswer.ts";
import { NOTE_TAKEN, OpenStores } from "../store/openStores.ts";
import { ClipFiles } from "./clipFiles.ts";
import { type ClipJob, jobIndex } from "./clipJob.ts";
import { ClipJobs } from "./clipJobs.ts";
import { ClipNews } from "./clipNews.ts";
import { ClipQueue } from "./clipQueue.ts";
import { runClip } from "./clipRun.ts";
import type { PacketPlan } from "./packetPlan.ts";
import { planFor } from "./prepareClip.ts";
import { comesSoon, reachOf } from "./reach.ts";

/**
 * The frame stores of one study's clips, made one at a time, most wanted first. Asking for another clip moves the
 * one run there; what it had prepared is kept and gone on with later.
 */
export class Preparation {
  readonly files: ClipFiles;
  readonly #stores: OpenStores;
  readonly #keys: ContentKeys;
  readonly #shares: Shares;
  readonly #jobs: ClipJobs;
  readonly #find: () => Promise<Ffmpeg>;
  #finding: Promise<Ffmpeg> | null = null;
  #ffmpeg: Ffmpeg | null = null;
  readonly #queue = new ClipQueue((clip) => this.#prepare(clip));
  readonly #news = new ClipNews();
  #onScreen: string | null = null;
  #following: Promise<void> = Promise.resolve();
  readonly #closing = new AbortController();
  readonly #pictures = new KeyPictures(() => this.#whichFfmpeg(), this.#closing.signal);

  constructor(
    cacheFolder: string,
    find: () => Promise<Ffmpeg> = findFfmpeg,
    shares: Shares = new Shares(),
    disk: Disk = realDisk(cacheFolder),
  ) {
    this.#shares = shares;
    this.#stores = new OpenStores(join(cacheFolder, "frames"), disk);
    this.#keys = new ContentKeys(join(cacheFolder, "clips.json"), disk);
    const decoder = () =>
      this.#whichFfmpeg().then(
        ({ version }) => version,
        () => null,
      );
    this.#jobs = new ClipJobs(this.#keys, this.#stores, this.#queue, shares, decoder);
    this.files = new ClipFiles(this.#keys, shares, this.#jobs);
    this.#find = find;
  }

  /** The clips of the study from now on: new ones are queued, others gone on with as the study says now. */
  follow(sources: readonly ClipSource[]): Promise<void> {
    // Looked for before there is a clip: finding out what it can do takes longer than its first frame.
    this.#whichFfmpeg().catch(() => undefined);
    this.#following = this.#following.then(() => this.#follow(sources));
    return this.#following;
  }

  /**
   * Whether a file that was just added is a film, before anybody waits for it to be prepared.
   *
   * @throws {MeasureError} the sentence preparing it would end with: `clip-not-video`, `clip-no-picture`, `clip-incomplete` …
   */
  async mustBeFilm(file: string): Promise<void> {
    // Without ffmpeg nobody can tell; preparing it says what is missing.
    const ffmpeg = await this.#whichFfmpeg().catch(() => null);
    if (ffmpeg) await mustBeFilm(ffmpeg, file, this.#closing.signal);
  }

  /** Knows a clip that was just added, and queues it. */
  async take(source: ClipSource): Promise<void> {
    await this.#jobs.of(source);
  }

  async #follow(sources: readonly ClipSource[]): Promise<void> {
    const named = new Set(sources.map((s) => s.clip));
    for (const { source } of this.#jobs.all) if (!named.has(source.clip)) this.#jobs.forget(source.clip);
    for (const source of sources) {
      if (this.#closing.signal.aborted) return;
      await this.#jobs.of(source).catch((error: unknown) => console.error(error));
    }
  }

  /**
   * Puts the clip first and starts it, also after it was stopped or failed.
   *
   * @param all also a long one of which nobody has said yet what matters
   */
  async first(source: ClipSource, all = true): Promise<void> {
    const job = await this.#jobs.fresh(source);
    this.#onScreen = source.clip;
    if (job.asksPart && !all) return;
    if (job.state === "ready" || ["changed", "on-share"].includes(job.found.link.state)) return;
    if (job.state === "failed") job.found = await findClip(source, this.#keys, this.#shares);
    this.#jobs.putFirst(job);
  }

  /** A person looks at frame `n`: its clip comes first, and the run moves there if that is provably exact. */
  async want(source: ClipSource, n: number): Promise<Reach> {
    const job = await this.#jobs.fresh(source);
    this.#onScreen = source.clip;
    await this.#stores.touch(job.store);
    const { part } = source;
    const there = job.store?.has(n) ?? false;
    job.wanted = there ? null : n;
    const stopped = job.state === "stopped" && (job.note === null || job.asksPart);
    if (job.state === "waiting" || (job.state === "stopped" && !stopped)) this.#jobs.putFirst(job);
    if (there) return "now";
    if (job.state === "failed" || job.state === "ready" || stopped) return "never";
    if (part && (n < part.first || n > part.last)) return "never";
    return this.#reach(job, n);
  }

  /** Stops preparing the clip; frames that are ready stay usable. */
  async stop(clip: string): Promise<void> {
    this.#queue.remove(clip);
    const job = this.#jobs.get(clip);
    if (!job || job.state === "ready" || job.state === "failed") return;
    job.state = "stopped";
    job.note = null;
    if (job.run) job.run.stop.abort();
    else await job.store?.saveState("stopped");
    this.#news.tell(clip);
  }

  async index(source: ClipSource, timesFrom = 0): Promise<ClipIndex & { readonly timesFrom: number }> {
    const job = await this.#jobs.fresh(source);
    const place = this.#queue.place(source.clip);
    const others = this.#jobs.all.some((j) => j.run && j !== job) ? 1 : 0;
    const queue = job.run ? 0 : place === null ? null : place + others;
    return jobIndex(job, queue, timesFrom);
  }

  /** Resolves once frame `n` (null = any frame) can be shown or nothing goes on any more, or after `ms`. */
  async untilThere(source: ClipSource, n: number | null, ms: number): Promise<void> {
    const end = performance.now() + ms;
    for (let left = ms; left > 0 && !this.#closing.signal.aborted; left = end - performance.now()) {
      const job = await this.#jobs.fresh(source);
      if (job.state !== "waiting" && job.state !== "preparing") return;
      if (n === null ? jobIndex(job, null).progress.done > 0 : job.store?.has(n)) return;
      await this.#news.heard(source.clip, left);
    }
  }

  async frame(source: ClipSource, n: number): Promise<FrameAnswer> {
    const job = await this.#jobs.of(source);
    await this.#stores.touch(job.store);
    const answer = await frameAnswer(job, n);
    if (answer.kind === "not-yet" && job.store?.rotten) this.#jobs.anew(job);
    return answer;
  }

  /** The file that is this clip's now. @throws {MeasureError} where it is not there, or not the one */
  async fileOf(source: ClipSource): Promise<string> {
    const { file, failure } = (await this.#jobs.of(source)).found;
    if (file) return file;
    throw (
      failure ??
      new MeasureError(
        "clip-missing",
        `no file for clip ${source.clip}`,
        "This clip is not there. Find its file in Times.",
      )
    );
  }

  /** A small picture of the clip near a moment, before anything of it is prepared; null when there is none. */
  async glimpse(source: ClipSource, seconds: number, asking: AbortSignal): Promise<Glimpse | null> {
    const job = await this.#jobs.of(source);
    const { file, stamp } = job.found;
    if (!file || !stamp) return null;
    const seen = await this.#pictures.at({ file, stamp, turn: source.turn ?? 0 }, seconds, asking);
    // Whoever looks is about to choose a part; where its frames lie takes longer to read than a choice should wait, but the
    // first picture does not wait for it.
    void this.#plan(job).catch(() => undefined);
    return seen;
  }

  /**
   * The numbers of the frames from one moment to another, seconds from the clip's first frame on.
   *
   * @throws {MeasureError} `no-frame-times` when the clip tells neither times nor a rate
   */
  async framesAt(source: ClipSource, from: number, to: number): Promise<FramesAt> {
    const job = await this.#jobs.of(source);
    const plan = await this.#plan(job);
    const found = plan && framesAt(plan, job.lasts, from, to);
    if (found) return found;
    throw new MeasureError(
      "no-frame-times",
      `${source.file} says neither when its frames are shown nor how long it lasts`,
      "This clip does not say when its frames are shown. Choose its part by frame numbers, or prepare all of it.",
    );
  }

  /** Ends the run and closes all files. What was prepared stays on disk. */
  async close(): Promise<void> {
    this.#closing.abort();
    const ended = this.#queue.close();
    for (const { source, run } of this.#jobs.all) {
      run?.stop.abort();
      this.#news.tell(source.clip);
    }
    await this.#following;
    await ended;
    await this.#stores.close();
  }

  /** What its packets say; null while there is no file or no ffmpeg. */
  async #plan({ store, found }: ClipJob): Promise<PacketPlan | null> {
    const ffmpeg = this.#ffmpeg ?? (await this.#whichFfmpeg());
    return store && found.file ? planFor(ffmpeg, found.file, store, this.#closing.signal) : null;
  }

  async #reach(job: ClipJob, n: number): Promise<Reach> {
    if (comesSoon(job, n)) return "going-on";
    const { run } = job;
    const plan = this.#ffmpeg ? await this.#plan(job) : null;
    const { reach, move } = reachOf(job, n, plan);
    if (move && job.run === run) run?.redirect.abort();
    return reach;
  }

  async #prepare(clip: string): Promise<void> {
    const job = this.#jobs.get(clip);
    if (job?.state !== "waiting") return;
    await runClip(job, {
      keys: this.#keys,
      shares: this.#shares,
      stores: this.#stores,
      closing: this.#closing.signal,
      ffmpeg: () => this.#whichFfmpeg(),
      makeRoom: (of) => this.#room(of),
      again: (of) => {
        of.state = "waiting";
        this.#queue.addFirst(of.source.clip);
      },
      news: (of) => this.#news.tell(of.source.clip),
    });
    this.#news.tell(clip);
  }

  /** Looked for once; again when it could not be found. */
  #whichFfmpeg(): Promise<Ffmpeg> {
    this.#finding ??= this.#find()
      .then((found) => {
        this.#ffmpeg = found;
        return found;
      })
      .catch((error: unknown) => {
        this.#finding = null;
        throw error;
      });
    return this.#finding;
  }

  /** Clips of this study stay as long as nobody waits for another one; the one on screen always does. */
  async #room(job: ClipJob): Promise<boolean> {
    const inUse = new Set([job.store?.key, this.#jobs.get(this.#onScreen ?? "")?.store?.key]);
    const background = job.source.clip !== this.#onScreen;
    const room = await this.#stores.makeRoom(
      (key) => inUse.has(key) || (background && this.#jobs.haveStore(key)),
      (taken) => {
        for (const other of this.#jobs.all) {
          if (other.store !== taken || other.state === "failed") continue;
          other.state = "stopped";
          other.note = NOTE_TAKEN();
          this.#queue.remove(other.source.clip);
        }
      },
    );
    // In the meantime somebody may have come to wait for this very clip.
    return room || (background && job.source.clip === this.#onScreen ? this.#room(job) : false);
  }
}
