import { basename } from "node:path";
import { MeasureError } from "../../../src/errors.ts";
import type { ClipLinkState, ClipPart } from "../../../src/study/exchange.ts";
import type { HandTurn } from "../../../src/study/types.ts";
import { mustBeOwnClip } from "../../disk/ownClip.ts";
import { checkClipFile, type FileStamp } from "../ffmpeg/clipFailure.ts";
import type { ContentKeys } from "./contentKey.ts";
import { findByContent, likelyFolders } from "./findByContent.ts";
import { onShare, type Shares } from "./networkShare.ts";

/** What the study says of a clip. */
export interface ClipSource {
  readonly clip: string;
  /** Absolute path. */
  readonly file: string;
  readonly bytes: number;
  readonly sha256: string | null;
  readonly part: ClipPart | null;
  /** Turned by hand, degrees clockwise; absent = not. */
  readonly turn?: 0 | HandTurn;
  readonly studyFolder: string;
}

/** The file to use for a clip, and how it stands to what the study says. `link.path` is absolute here. */
export interface FoundClip {
  /** null = there is none that may be used. */
  readonly file: string | null;
  readonly stamp: FileStamp | null;
  /** The content the study means, as far as it is known. */
  readonly expected: string | null;
  readonly link: ClipLinkState;
  readonly failure: MeasureError | null;
}

/** Looks for the file of a clip. The same content elsewhere is found by itself; another content is never used. */
export async function findClip(source: ClipSource, keys: ContentKeys, shares: Shares): Promise<FoundClip> {
  const share = shares.unasked(source.file, source.studyFolder);
  if (share !== null) return notTouched(source, share);
  const expected = source.sha256 ?? (await keys.meant(source.file));
  try {
    await mustBeOwnClip(source.studyFolder, source.file);
    const stamp = await checkClipFile(source.file);
    if (!(await contentDiffers(source, expected, stamp, keys)))
      return {
        file: source.file,
        stamp,
        expected,
        link: asItWas(source.file, expected, stamp),
        failure: null,
      };
    const elsewhere = await found(source, expected, keys);
    return elsewhere ?? changed(source, expected, stamp, await keys.of(source.file, stamp));
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    const linked = error.code === "clip-linked";
    const elsewhere = linked ? null : await found(source, expected, keys);
    if (elsewhere) return elsewhere;
    const missing = linked || error.code === "clip-missing";
    const link = {
      ...asItWas(null, expected, null),
      state: missing ? "missing" : "changed",
      text: error.coach,
    };
    return { file: null, stamp: null, expected, link: link as ClipLinkState, failure: error };
  }
}

/** Without reading the file where that is enough; what cannot be told yet is found out when it is read. */
async function contentDiffers(
  source: ClipSource,
  expected: string | null,
  stamp: FileStamp,
  keys: ContentKeys,
): Promise<boolean> {
  if (!expected) return false;
  const known = await keys.known(source.file, stamp);
  if (known) return known !== expected;
  return source.sha256 !== null && source.bytes > 0 && source.bytes !== stamp.bytes;
}

async function found(
  source: ClipSource,
  expected: string | null,
  keys: ContentKeys,
): Promise<FoundClip | null> {
  if (!expected || source.bytes === 0) return null;
  const folders = likelyFolders(source.file, source.studyFolder);
  const file = await findByContent(keys, { sha256: expected, bytes: source.bytes }, folders);
  if (!file || file === source.file) return null;
  const stamp = await checkClipFile(file);
  const text = `"${basename(source.file)}" is not where it was; the same clip was found as ${file} and is used from there.`;
  return {
    file,
    stamp,
    expected,
    failure: null,
    link: { ...asItWas(file, expected, stamp), state: "moved", text },
  };
}

/** A file of another content stands where the clip was, or was offered for it. */
export function changed(
  source: ClipSource,
  expected: string | null,
  stamp: FileStamp,
  sha256: string,
  file = source.file,
): FoundClip {
  const name = basename(file);
  const size = (bytes: number) => `${(bytes / 1e6).toFixed(bytes < 1e7 ? 3 : 1)} MB`;
  const how =
    source.bytes > 0 && source.bytes !== stamp.bytes
      ? `it has ${size(stamp.bytes)}, the clip had ${size(source.bytes)}`
      : "it is as long, but its content is another";
  const text = `"${name}" is not the file this study was made with: ${how}. Marks and event frames may lie on other frames of it. Put the original back, or confirm that this file is to be used.`;
  return {
    file: null,
    stamp,
    expected,
    link: { state: "changed", text, path: file, sha256, bytes: stamp.bytes },
    failure: new MeasureError(
      "clip-changed",
      `${file} has content ${sha256}; the study says ${expected}`,
      text,
    ),
  };
}

function notTouched(source: ClipSource, share: string): FoundClip {
  const failure = onShare(source.file, share);
  const link = { ...asItWas(null, source.sha256, null), state: "on-share", text: failure.coach } as const;
  return { file: null, stamp: null, expected: source.sha256, link, failure };
}

function asItWas(file: string | null, sha256: string | null, stamp: FileStamp | null): ClipLinkState {
  return { state: "as-it-was", text: null, path: file, sha256, bytes: stamp?.bytes ?? null };
}
