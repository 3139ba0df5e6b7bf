import { checkClipFile } from "../ffmpeg/clipFailure.ts";
import { stated } from "../ffmpeg/stated.ts";
import { type ClipSource, findClip } from "../link/clipSource.ts";
import type { ContentKeys } from "../link/contentKey.ts";
import type { Shares } from "../link/networkShare.ts";
import type { FrameStore } from "../store/frameStore.ts";
import type { OpenStores } from "../store/openStores.ts";
import { type ClipJob, failed, isLong } from "./clipJob.ts";
import type { ClipQueue } from "./clipQueue.ts";

/** The clips of the study as it is now, and which of them is prepared. */
export class ClipJobs {
  readonly #keys: ContentKeys;
  readonly #stores: OpenStores;
  readonly #queue: ClipQueue;
  readonly #shares: Shares;
  readonly #jobs = new Map<string, ClipJob>();
  readonly #opening = new Map<string, Promise<ClipJob>>();

  readonly #decoder: () => Promise<string | null>;

  /** @param decoder which ffmpeg there is, null when none is */
  constructor(
    keys: ContentKeys,
    stores: OpenStores,
    queue: ClipQueue,
    shares: Shares,
    decoder: () => Promise<string | null>,
  ) {
    this.#keys = keys;
    this.#stores = stores;
    this.#queue = queue;
    this.#shares = shares;
    this.#decoder = decoder;
  }

  /** The clip's job if there is one already, however the study has the clip now. */
  get(clip: string): ClipJob | undefined {
    return this.#jobs.get(clip);
  }

  get all(): ClipJob[] {
    return [...this.#jobs.values()];
  }

  /** Whether a store of that name belongs to a clip of the study. */
  haveStore(name: string): boolean {
    return this.all.some(
      ({ store, found, source }) =>
        store?.key === name || (found.expected && this.#stores.isNamed(name, found.expected, source.turn)),
    );
  }

  /** The clip's job; looked at anew when the file may have changed since. */
  async fresh(source: ClipSource): Promise<ClipJob> {
    const job = await this.of(source);
    if (job.run || this.#opening.has(source.clip)) return job;
    if (job.found.link.state === "on-share") return job;
    const file = job.found.file ?? job.found.link.path ?? source.file;
    const now = await checkClipFile(file).catch(() => null);
    const { stamp } = job.found;
    if (now?.bytes === stamp?.bytes && now?.mtimeMs === stamp?.mtimeMs) return job;
    if (this.#jobs.get(source.clip) === job) this.forget(source.clip);
    return this.of(source);
  }

  /** One job a clip, as the study has it. */
  async of(source: ClipSource): Promise<ClipJob> {
    const job = this.#jobs.get(source.clip);
    if (
      job &&
      job.source.file === source.file &&
      job.source.sha256 === source.sha256 &&
      (job.source.turn ?? 0) === (source.turn ?? 0)
    ) {
      if (!samePart(job.source, source)) this.#takePart(job, source);
      return job;
    }
    if (job) this.forget(source.clip);
    let opening = this.#opening.get(source.clip);
    if (!opening) {
      opening = this.#openJob(source).finally(() => this.#opening.delete(source.clip));
      this.#opening.set(source.clip, opening);
    }
    return opening;
  }

  async #openJob(source: ClipSource): Promise<ClipJob> {
    const found = await findClip(source, this.#keys, this.#shares);
    const job: ClipJob = {
      source,
      found,
      state: "waiting",
      store: null,
      failure: null,
      note: null,
      lasts: found.file === null ? null : (await stated(found.file)).lasts,
      asksPart: false,
      wanted: null,
      run: null,
    };
    const { failure } = found;
    try {
      job.store = await this.#storeOf(found, source.turn);
    } catch (error) {
      if (!failure) failed(job, error);
    }
    if (failure) failed(job, failure);
    else if (job.store?.state === "stopped") job.state = "stopped";
    if (job.store?.state === "complete" && found.link.state !== "changed") job.state = "ready";
    if (job.state === "waiting" && isLong(job)) {
      job.state = "stopped";
      job.asksPart = true;
    }
    this.#jobs.set(source.clip, job);
    if (job.state === "waiting") this.#queue.addLast(source.clip);
    if (job.state === "ready") void this.#mustBeThisDecoder(job);
    return job;
  }

  /** A whole store is shown at once; finding out which ffmpeg there is takes longer. */
  async #mustBeThisDecoder(job: ClipJob): Promise<void> {
    const decoder = await this.#decoder();
    // Of a clip that is not there now, what there is of it stays.
    if (decoder === null || job.found.file === null || job.state !== "ready") return;
    if (job.store?.decoder !== decoder) this.anew(job);
  }

  /** What is in its store is not believed any more: its next run begins anew. */
  anew(job: ClipJob): void {
    this.setAside(job);
    if (job.run || job.state === "waiting") return;
    job.state = "waiting";
    job.failure = null;
    this.#queue.addFirst(job.source.clip);
  }

  /** What was prepared of it before, without reading the file. */
  async #storeOf(
    { file, stamp, link, expected }: ClipJob["found"],
    turn: ClipSource["turn"],
  ): Promise<FrameStore | null> {
    if (!file || !stamp) return link.state === "missing" && expected ? this.#stores.of(expected, turn) : null;
    const sha256 = await this.#keys.known(file, stamp);
    return sha256 || !expected ? this.#stores.ofFile(file, stamp, sha256, turn) : null;
  }

  /** Ends its run; what was prepared stays. The next time it is asked for it is looked at anew. */
  forget(clip: string): void {
    this.#jobs.get(clip)?.run?.stop.abort();
    this.#jobs.delete(clip);
    this.#queue.remove(clip);
  }

  #takePart(job: ClipJob, source: ClipSource): void {
    job.source = source;
    if (job.run) {
      job.run.redirect.abort();
      return;
    }
    if (job.state !== "ready" && job.state !== "waiting" && !job.asksPart) return;
    job.asksPart = false;
    job.state = "waiting";
    if (this.#queue.place(source.clip) === null) this.#queue.addFirst(source.clip);
  }

  /** Its run comes next, also after it was stopped or failed; the one that is going makes way. */
  putFirst(job: ClipJob): void {
    if (job.run && job.state === "preparing") return;
    const { clip } = job.source;
    job.state = "waiting";
    job.asksPart = false;
    job.failure = null;
    job.note = null;
    for (const other of this.all) if (other !== job && other.run) this.setAside(other);
    this.#queue.addFirst(clip);
  }

  /** The run makes way; it is gone on with next. */
  setAside(job: ClipJob): void {
    if (!job.run || job.state !== "preparing") return;
    job.state = "waiting";
    this.#queue.addFirst(job.source.clip);
    job.run.stop.abort();
  }
}

function samePart(a: ClipSource, b: ClipSource): boolean {
  return a.part?.first === b.part?.first && a.part?.last === b.part?.last;
}
