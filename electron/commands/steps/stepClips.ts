import { join, resolve } from "node:path";
import type { ClipLink, Study } from "../../../src/study/types.ts";
import { stated } from "../../clip/ffmpeg/stated.ts";
import { isLong } from "../../clip/jobs/clipJob.ts";
import { type ClipSource, findClip } from "../../clip/link/clipSource.ts";
import { ContentKeys } from "../../clip/link/contentKey.ts";
import { Shares } from "../../clip/link/networkShare.ts";
import { OpenStores } from "../../clip/store/openStores.ts";
import { realDisk } from "../../disk/disk.ts";
import { places } from "../../vault/places.ts";

/** A clip as the steps see it. */
export interface StepClip {
  readonly link: ClipLink;
  /** Where it is; null where there is no file that may be read. */
  readonly file: string | null;
  /** SHA-256 of its content; null where there is no file that may be read. */
  readonly content: string | null;
  /** Why nothing can be done with it; null when something can. */
  readonly why: string | null;
}

/** Where the frames of a study's clips are kept. */
export const stepCache = (folder: string) => places(resolve(folder)).cache;

export function clipSource(folder: string, link: ClipLink): ClipSource {
  const { id, path, bytes, sha256 = null, part = null, turn = 0 } = link;
  return { clip: id, file: resolve(folder, path), bytes, sha256, part, turn, studyFolder: resolve(folder) };
}

/** Looks at the files of a study's clips; one whose content the study does not say is read once. */
export async function stepClips(folder: string, { clips }: Study): Promise<ReadonlyMap<string, StepClip>> {
  const cache = stepCache(folder);
  const keys = new ContentKeys(join(cache, "clips.json"), realDisk(cache));
  const shares = new Shares();
  const found = new Map<string, StepClip>();
  for (const link of clips) found.set(link.id, await lookAt(folder, link, keys, shares));
  return found;
}

async function lookAt(folder: string, link: ClipLink, keys: ContentKeys, shares: Shares): Promise<StepClip> {
  const source = clipSource(folder, link);
  const { file, stamp, expected, failure } = await findClip(source, keys, shares);
  if (!file || !stamp)
    return { link, file: null, content: null, why: failure?.coach ?? "There is no file that can be read." };
  const content = expected ?? (await keys.of(file, stamp));
  const { lasts } = await stated(file);
  const why = isLong({ lasts, source, store: null })
    ? "It lasts more than a minute and nobody has said yet which part of it matters. Say so in Measure."
    : null;
  return { link, file, content, why };
}

/** Whether these frames, both ends included, are still kept for a content. */
export async function framesKept(
  folder: string,
  { content, link }: StepClip,
  [first, last]: readonly [number, number],
): Promise<boolean> {
  if (content === null) return false;
  const cache = stepCache(folder);
  const stores = new OpenStores(join(cache, "frames"), realDisk(cache));
  try {
    const store = await stores.of(content, link.turn);
    return store.has(first) && store.has(last);
  } finally {
    await stores.close();
  }
}
