import { join } from "node:path";
import type { Disk } from "../../disk/disk.ts";

/** About sixty 1080p sprints at 240 frames a second. */
const LIMIT_BYTES = 30e9;

/** What all prepared frames of a study may take together. */
export function diskLimit(): number {
  return Number(process.env.BLADEMARK_CACHE_GB ?? 0) * 1e9 || LIMIT_BYTES;
}

/**
 * Keeps prepared frames below a limit: the least recently used stores go first, never one that must stay. They are
 * made again when their clip is wanted.
 *
 * @param remove takes a store away; given its folder's name
 * @returns whether there is room now
 */
export async function makeRoom(
  folder: string,
  disk: Disk,
  mustStay: (store: string) => boolean,
  remove: (store: string) => Promise<void>,
  limit = diskLimit(),
): Promise<boolean> {
  const stores = [];
  for (const name of await disk.list(folder)) {
    const path = join(folder, name);
    const pictures = await disk.look(join(path, "frames.jpegs")).catch(() => null);
    const used = await disk.look(path);
    if (pictures && used) stores.push({ name, bytes: pictures.size, used: used.mtimeMs });
  }
  let total = stores.reduce((sum, s) => sum + s.bytes, 0);
  for (const { name, bytes } of stores.sort((a, b) => a.used - b.used)) {
    if (total <= limit) return true;
    if (mustStay(name)) continue;
    await remove(name);
    total -= bytes;
  }
  return total <= limit;
}
