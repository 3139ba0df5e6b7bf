import { MeasureError } from "../../../src/errors.ts";
import type { ClipLinkState } from "../../../src/study/exchange.ts";
import { mustBeOwnClip } from "../../disk/ownClip.ts";
import { checkClipFile } from "../ffmpeg/clipFailure.ts";
import { type ClipSource, changed } from "../link/clipSource.ts";
import type { ContentKeys } from "../link/contentKey.ts";
import type { Shares } from "../link/networkShare.ts";
import { failed } from "./clipJob.ts";
import type { ClipJobs } from "./clipJobs.ts";

/** Which file is a clip's: what it holds, where it went, and what a person says of that. */
export class ClipFiles {
  readonly #keys: ContentKeys;
  readonly #shares: Shares;
  readonly #jobs: ClipJobs;

  constructor(keys: ContentKeys, shares: Shares, jobs: ClipJobs) {
    this.#keys = keys;
    this.#shares = shares;
    this.#jobs = jobs;
  }

  /** Remembers a hash that was computed while the file was being copied. */
  async remember(file: string, sha256: string): Promise<void> {
    await this.#keys.remember(file, await checkClipFile(file), sha256);
  }

  /** Whether a file in the study's folder still holds that content, read where that is not known. */
  async holds(studyFolder: string, file: string, sha256: string): Promise<boolean> {
    try {
      await mustBeOwnClip(studyFolder, file);
      return (await this.#keys.of(file, await checkClipFile(file))) === sha256;
    } catch (error) {
      if (error instanceof MeasureError) return false;
      throw error;
    }
  }

  /** Searches for a moved clip once more. */
  async look(source: ClipSource): Promise<ClipLinkState> {
    const job = this.#jobs.get(source.clip);
    if (job?.run) return job.found.link;
    this.#jobs.forget(source.clip);
    return (await this.#jobs.of(source)).found.link;
  }

  /** A person agrees that clips may be opened from the share this one lies on. */
  async agree(source: ClipSource): Promise<ClipLinkState> {
    this.#shares.agree(source.file);
    // Others may lie there too.
    for (const { source: other, found } of this.#jobs.all)
      if (found.link.state === "on-share") await this.look(other);
    return this.look(source);
  }

  /** A person offers `file` for the clip. Of the same content it is what the study means. */
  async offer(source: ClipSource, file: string, sha256: string): Promise<{ readonly same: boolean }> {
    const stamp = await checkClipFile(file);
    await this.#keys.remember(file, stamp, sha256);
    const job = await this.#jobs.of(source);
    if (job.found.expected === null || job.found.expected === sha256) return { same: true };
    this.#jobs.setAside(job);
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
    const { link } = (await this.#jobs.of(source)).found;
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
}
