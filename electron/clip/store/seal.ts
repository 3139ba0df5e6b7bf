import { createHmac, randomBytes } from "node:crypto";
import { lstatSync, mkdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { ownFolder } from "../../disk/ownFolder.ts";

/**
 * Tells what this person's Blademark wrote into a cache from what came with a study, or was changed since: HMAC-SHA-256
 * (RFC 2104) with a secret that lies in the person's own folder and in no study. Anybody can compute a plain hash.
 */
export interface Seal {
  /** Which secret; part of the names of what is sealed, so that two machines do not undo each other's work. */
  readonly id: string;
  /** 32 hexadecimal digits. */
  of(text: string): string;
}

export function sealBy(secret: Uint8Array): Seal {
  const of = (text: string) => createHmac("sha256", secret).update(text).digest("hex").slice(0, 32);
  return { id: of("id").slice(0, 8), of };
}

let ours: Seal | null = null;

/** The seal of whoever runs this program on this machine. */
export function machineSeal(): Seal {
  ours ??= sealBy(secretIn(ownFolder()));
  return ours;
}

const SECRET_BYTES = 32;

/** The secret, made when there is none. Where it cannot be kept it is this run's: caches are then made again each time. */
export function secretIn(folder: string): Uint8Array {
  const file = join(folder, "cache-key");
  const made = randomBytes(SECRET_BYTES);
  try {
    return readSecret(file) ?? keepSecret(folder, file, made);
  } catch {
    return made;
  }
}

/** @returns null when there is none, or one that others may read or wrote */
function readSecret(file: string): Uint8Array | null {
  try {
    const { mode, uid, size } = lstatSync(file);
    const posix = process.platform !== "win32";
    if (posix && ((mode & 0o077) !== 0 || uid !== process.getuid?.())) return null;
    if (size !== SECRET_BYTES) return null;
    return readFileSync(file);
  } catch {
    return null;
  }
}

function keepSecret(folder: string, file: string, made: Uint8Array): Uint8Array {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  const beside = `${file}.${randomBytes(6).toString("hex")}.tmp`;
  writeFileSync(beside, made, { mode: 0o600, flag: "wx" });
  renameSync(beside, file);
  // Another start of the program may have put its own there just now.
  return readSecret(file) ?? made;
}
