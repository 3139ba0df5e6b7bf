import { execFile } from "node:child_process";
import { randomBytes } from "node:crypto";
import { readFile } from "node:fs/promises";
import { hostname, userInfo } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import { type Disk, LINE_BYTES } from "../disk/disk.ts";
import { writeAtomically } from "./atomicWrite.ts";

/** Who has a study open, as `study.lock` says. */
export interface LockOwner {
  readonly user: string;
  readonly host: string;
  readonly pid: number;
  /** When the process began, as the system tells it: a number used again by another process is not the owner. */
  readonly start: string | null;
  readonly opened: string;
  readonly token: string;
}

export const lockFile = (folder: string) => join(folder, "study.lock");
/** Somebody asks the owner to let go. */
export const askedFile = (folder: string) => join(folder, "study.lock.asked");

/** This process as an owner. */
export async function thisOwner(now: Date): Promise<LockOwner> {
  return {
    user: userName(),
    host: hostname(),
    pid: process.pid,
    start: await processStart(process.pid),
    opened: now.toISOString(),
    token: randomBytes(12).toString("hex"),
  };
}

/**
 * Takes a study's lock, or says who has it. A lock whose process has ended (or was this very process) is replaced; one
 * of another machine is believed.
 *
 * @throws what the disk says when the folder cannot be written
 */
export async function takeLock(folder: string, me: LockOwner, disk: Disk): Promise<LockOwner | null> {
  const file = lockFile(folder);
  try {
    await disk.create(file, lockText(me));
    await disk.flushFolder(folder);
    return null;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "EEXIST") throw error;
  }
  const owner = await readLock(folder, disk);
  // Half a lock: its writer was killed while writing it.
  if (owner?.token === me.token) return null;
  if (owner && (await alive(owner, me))) return owner;
  await seizeLock(folder, me, disk);
  return null;
}

/** Puts our lock in the place of whatever is there. */
export async function seizeLock(folder: string, me: LockOwner, disk: Disk): Promise<void> {
  await writeAtomically(lockFile(folder), lockText(me), disk);
}

/** Gives the lock back, if it is still ours. */
export async function releaseLock(folder: string, me: LockOwner, disk: Disk): Promise<void> {
  if ((await readLock(folder, disk))?.token === me.token) await disk.remove(lockFile(folder));
}

/**
 * @returns null when there is no lock, or half of one
 * @throws what the disk says when there is one that cannot be read: whose it is is not known
 */
export async function readLock(folder: string, disk: Disk): Promise<LockOwner | null> {
  const text = await disk.read(lockFile(folder), LINE_BYTES);
  try {
    const lock = JSON.parse(String(text));
    const texts = [lock.user, lock.host, lock.opened, lock.token];
    return Number.isSafeInteger(lock.pid) && texts.every((t) => typeof t === "string") ? lock : null;
  } catch {
    return null;
  }
}

/** "Kim on rink-laptop" */
export function ownerWords({ user, host }: LockOwner): string {
  return `${user || "somebody"} on ${host}`;
}

async function alive(owner: LockOwner, me: LockOwner): Promise<boolean> {
  if (owner.host === me.host && owner.pid === me.pid && owner.start === me.start) return false;
  return runs(owner);
}

/** Whether the process that has a lock still runs; on another machine nobody can tell, and it is believed. */
export async function runs(owner: LockOwner): Promise<boolean> {
  if (owner.host !== hostname()) return true;
  if (!isThere(owner.pid)) return false;
  const start = await processStart(owner.pid);
  // A zombie has ended; only its parent has not taken note of it yet.
  if (start === "ended") return false;
  // It may have ended between the two looks.
  if (start === null) return isThere(owner.pid);
  return owner.start === null || start === owner.start;
}

function isThere(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // Not ours to signal, but there.
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}

/** When a process began; `ended` for one that has, though its parent has not taken note; null where the system does not say. */
export async function processStart(pid: number): Promise<string | null> {
  try {
    if (process.platform === "linux") {
      const stat = await readFile(`/proc/${pid}/stat`, "utf8");
      // Fields 3 and 22 of proc(5) stat; the name in field 2 may hold spaces and ends with the last parenthesis.
      const fields = stat.slice(stat.lastIndexOf(")") + 2).split(" ");
      return fields[0] === "Z" || fields[0] === "X" ? "ended" : (fields[19] ?? null);
    }
    if (process.platform === "darwin")
      return (await promisify(execFile)("ps", ["-p", String(pid), "-o", "lstart="])).stdout.trim() || null;
  } catch {
    return null;
  }
  return null;
}

function userName(): string {
  try {
    return userInfo().username;
  } catch {
    return "";
  }
}

function lockText(owner: LockOwner): string {
  return `${JSON.stringify(owner)}\n`;
}
