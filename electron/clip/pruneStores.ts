import { readdir, rm, stat } from "node:fs/promises";
import { join } from "node:path";

/** About sixty 1080p sprints at 240 frames a second. */
const LIMIT_BYTES = 30e9;

/**
 * Keeps the prepared frames of a study below a limit: the least recently used stores go, never one in use.
 * They are made again when their clip is opened.
 */
export async function pruneStores(
  folder: string,
  inUse: ReadonlySet<string>,
  limit = Number(process.env.BLADEMARK_CACHE_GB ?? 0) * 1e9 || LIMIT_BYTES,
): Promise<void> {
  const stores = [];
  for (const name of await readdir(folder).catch(() => [])) {
    const path = join(folder, name);
    const pictures = await stat(join(path, "frames.jpegs")).catch(() => null);
    const used = await stat(path).catch(() => null);
    if (pictures && used) stores.push({ name, path, bytes: pictures.size, used: used.mtimeMs });
  }
  let total = stores.reduce((sum, s) => sum + s.bytes, 0);
  for (const store of stores.sort((a, b) => a.used - b.used)) {
    if (total <= limit) return;
    if (inUse.has(store.name)) continue;
    await rm(store.path, { recursive: true, force: true });
    total -= store.bytes;
  }
}
