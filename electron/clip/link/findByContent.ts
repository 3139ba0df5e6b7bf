import { readdir, stat } from "node:fs/promises";
import { dirname, join } from "node:path";
import { checkClipFile } from "../ffmpeg/clipFailure.ts";
import type { ContentKeys } from "./contentKey.ts";

/** A card or a folder of clips has hundreds of files; a whole disk is not searched. */
const MOST_ENTRIES = 20_000;
const DEPTH = 2;

/**
 * A file with exactly this content in the folders given or up to two folders below them; null when there is none.
 * Only files of the same size are read, so that a search costs little.
 */
export async function findByContent(
  keys: ContentKeys,
  wanted: { readonly sha256: string; readonly bytes: number },
  folders: readonly string[],
): Promise<string | null> {
  const seen = new Set<string>();
  let left = MOST_ENTRIES;

  async function look(folder: string, depth: number): Promise<string | null> {
    if (seen.has(folder)) return null;
    seen.add(folder);
    const below: string[] = [];
    for (const entry of await readdir(folder, { withFileTypes: true }).catch(() => [])) {
      left -= 1;
      if (left < 0) return null;
      const path = join(folder, entry.name);
      if (entry.isDirectory() && !entry.name.startsWith(".")) below.push(path);
      else if (entry.isFile() && (await isIt(path))) return path;
    }
    if (depth === 0) return null;
    for (const path of below) {
      const found = await look(path, depth - 1);
      if (found) return found;
    }
    return null;
  }

  async function isIt(path: string): Promise<boolean> {
    try {
      if ((await stat(path)).size !== wanted.bytes) return false;
      return (await keys.of(path, await checkClipFile(path))) === wanted.sha256;
    } catch {
      // Gone or unreadable: then it is not the one.
      return false;
    }
  }

  for (const folder of folders) {
    const found = await look(folder, DEPTH);
    if (found) return found;
  }
  return null;
}

/** Where a moved clip is likely: its own folder, the study's, and the one above its own. */
export function likelyFolders(file: string, studyFolder: string): string[] {
  const own = dirname(file);
  return [own, studyFolder, dirname(own)];
}
