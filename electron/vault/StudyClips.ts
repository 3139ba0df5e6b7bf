import { isAbsolute, relative, resolve, sep } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import type { ClipLink, Study } from "../../src/study/types.ts";
import type { Disk } from "../disk/disk.ts";
import { addClip, type CopiedClip, freeId } from "./addClip.ts";
import { places } from "./places.ts";

/** The clips of an open study: those the study links, and those that were added or found again and are not saved yet. */
export class StudyClips {
  readonly #folder: string;
  readonly #disk: Disk;
  readonly #study: () => Study;
  readonly #mustBeWritable: () => void;
  readonly #added = new Map<string, ClipLink>();
  /** Links a person has confirmed and the window has not saved yet. */
  readonly #confirmed = new Map<string, Pick<ClipLink, "path" | "bytes" | "sha256">>();

  /** @param mustBeWritable throws `read-only` where nothing may be written */
  constructor(folder: string, disk: Disk, study: () => Study, mustBeWritable: () => void) {
    this.#folder = folder;
    this.#disk = disk;
    this.#study = study;
    this.#mustBeWritable = mustBeWritable;
  }

  /** Copies a clip into the study. The window adds the link to the study; until then it is remembered here. */
  async add(name: string, body: AsyncIterable<Uint8Array>): Promise<ClipLink> {
    this.#mustBeWritable();
    const copied = await addClip(places(this.#folder).clips, name, body, this.#disk);
    // After the copy: another one may have been added meanwhile.
    const taken = new Set([...this.#study().clips.map((c) => c.id), ...this.#added.keys()]);
    const link = { id: freeId(copied.sha256, taken), ...copied };
    this.#added.set(link.id, link);
    return link;
  }

  /** Another link's file in `clips/` that is said to hold the same; null = there is none. It may have been changed since. */
  twinOf({ id, sha256, path }: ClipLink): { readonly path: string; readonly file: string } | null {
    const all = [...this.#study().clips, ...this.#added.values()];
    const twin = all.find(
      (c) => c.id !== id && c.sha256 === sha256 && c.path.startsWith("clips/") && c.path !== path,
    );
    return sha256 === undefined || !twin ? null : { path: twin.path, file: resolve(this.#folder, twin.path) };
  }

  /**
   * Takes back a clip that was just added. `instead`: its link leads to that file, which holds the same. Where that file has
   * gone the same way meanwhile, or another link leads to this one, nothing is taken back.
   *
   * @returns the new link; null where there is none
   */
  async takeBack(link: ClipLink, instead: string | null): Promise<ClipLink | null> {
    const others = [...this.#study().clips, ...this.#added.values()].filter((c) => c.id !== link.id);
    if (others.some((c) => c.path === link.path)) return null;
    if (instead !== null && !others.some((c) => c.path === instead)) return null;
    const kept = instead === null ? null : { ...link, path: instead };
    if (kept) this.#added.set(kept.id, kept);
    else this.#added.delete(link.id);
    await this.#disk.remove(resolve(this.#folder, link.path));
    return kept;
  }

  /** The clip's link, with its file's absolute path; null when the study has no such clip. */
  of(id: string): { readonly link: ClipLink; readonly file: string } | null {
    const link = this.#study().clips.find((c) => c.id === id) ?? this.#added.get(id);
    if (!link) return null;
    const used = { ...link, ...this.#confirmed.get(id) };
    return { link: used, file: resolve(this.#folder, used.path) };
  }

  /**
   * Another file for a clip, confirmed by a person: used from now on, in the study once the window saves it.
   *
   * @throws {MeasureError} `read-only`
   */
  relink(id: string, file: string, bytes: number, sha256: string): ClipLink {
    this.#mustBeWritable();
    const { link } = this.of(id) ?? {};
    if (!link) throw new Error(`relink got ${id}, which is no clip of this study`);
    const path = this.pathInStudy(file);
    this.#confirmed.set(id, { path, bytes, sha256 });
    return { ...link, path, bytes, sha256 };
  }

  /** As the study writes paths: relative to its folder, forward slashes. */
  pathInStudy(file: string): string {
    return relative(this.#folder, file).split(sep).join("/");
  }

  /** Copies a file into `clips/` that a person offers for a clip; returns where it is and what it holds. */
  async copyIn(name: string, body: AsyncIterable<Uint8Array>): Promise<{ file: string; copied: CopiedClip }> {
    this.#mustBeWritable();
    const copied = await addClip(places(this.#folder).clips, name, body, this.#disk);
    return { file: resolve(this.#folder, copied.path), copied };
  }

  /** The window has saved these links: what they say need not be remembered here. */
  saved(links: readonly ClipLink[]): void {
    for (const { id, path, sha256 } of links) {
      const confirmed = this.#confirmed.get(id);
      if (confirmed?.path === path && confirmed.sha256 === sha256) this.#confirmed.delete(id);
    }
  }

  /**
   * A request may not invent a path: links lead into the folder, or where this study already led.
   *
   * @throws {MeasureError} `foreign-path`
   */
  mustBeOurs(link: ClipLink): void {
    const inside = relative(this.#folder, resolve(this.#folder, link.path));
    if (inside !== "" && !inside.startsWith("..") && !isAbsolute(inside)) return;
    if (this.#study().clips.some((c) => c.path === link.path)) return;
    if (this.#confirmed.get(link.id)?.path === link.path) return;
    throw new MeasureError(
      "foreign-path",
      `saveStudy got a new link that leads out of the study: ${link.path}`,
      `The clip "${link.name}" lies outside the study folder. Add it through the window, so that it is copied in.`,
    );
  }
}
