import { setTimeout as wait } from "node:timers/promises";
import type { Disk } from "../disk/disk.ts";
import { askedFile, type LockOwner, readLock, seizeLock } from "./lock.ts";

/** An owner that runs looks every second; one that does not answer in this time has ended or cannot be reached. */
const PATIENCE_MS = 3000;

/**
 * Asks the owner of a study to let it go, and takes the lock of one that does not answer. That owner finds out
 * before it writes again, and then writes nothing.
 */
export async function letGo(
  folder: string,
  owner: LockOwner,
  me: LockOwner,
  disk: Disk,
  patienceMs = PATIENCE_MS,
): Promise<void> {
  const asked = askedFile(folder);
  await disk.remove(asked);
  await disk.create(asked, "A window asks to take this study over.\n");
  for (const end = performance.now() + patienceMs; performance.now() < end; await wait(50)) {
    if ((await readLock(folder, disk))?.token !== owner.token) break;
  }
  if ((await readLock(folder, disk))?.token === owner.token) await seizeLock(folder, me, disk);
  await disk.remove(asked);
}
