import { readFileSync, writeFileSync } from "node:fs";
import { type DiskOf, realDisk } from "../../electron/disk/disk.ts";

export type Fault = "killed" | "ENOSPC" | "EROFS" | "EACCES";

export class Killed extends Error {}

/** What is left of a file when the power or the space goes in the middle of writing it. */
const HALF = 0.5;

/**
 * A disk whose `at`-th call (the first is 0) does not come to its end. Killed: half of what was being written is there
 * and no later call does anything, as for a process that has ended. Full: half is there, and every later call that
 * needs space fails too until `mend`. Read-only: nothing is written at all from then on.
 */
export function faultyDisk(fault: Fault, at: number): DiskOf & { calls(): number; mend(): void } {
  let calls = 0;
  let mended = false;
  const reached = () => !mended && calls++ >= at;
  const stop = (): never => {
    if (fault === "killed") throw new Killed("killed");
    throw Object.assign(new Error(`${fault}: no`), { code: fault });
  };
  const first = () => calls === at + 1;
  const call =
    <A extends unknown[]>(real: (...args: A) => Promise<void>, half?: (...args: A) => void, frees = false) =>
    async (...args: A) => {
      if (!reached() || (frees && fault === "ENOSPC")) return real(...args);
      if (first() && fault !== "EROFS" && fault !== "EACCES") half?.(...args);
      return stop();
    };
  const part = (text: string) => text.slice(0, Math.floor(text.length * HALF));
  const faulty: DiskOf = (root) => {
    const real = realDisk(root);
    return {
      ...real,
      create: call(real.create, (path, text) => writeFileSync(path, part(text), { flag: "wx" })),
      append: call(real.append, (path, text) => writeFileSync(path, part(text), { flag: "a" })),
      replace: call(real.replace),
      rename: call(real.rename),
      copy: call(real.copy, (from, to) =>
        writeFileSync(to, part(readFileSync(from, "utf8")), { flag: "wx" }),
      ),
      remove: call(real.remove, undefined, true),
      makeFolder: call(real.makeFolder),
      flushFolder: call(real.flushFolder),
    };
  };
  return Object.assign(faulty, {
    calls: () => calls,
    mend: () => {
      mended = true;
    },
  });
}

/** A disk whose `at`-th look at something (the first is 0) is refused, that one alone: as by a bad sector or a lost right. */
export function unreadableDisk(code: "EIO" | "EACCES", at: number): DiskOf & { looks(): number } {
  let looks = 0;
  const look =
    <A extends unknown[], T>(real: (...args: A) => Promise<T>) =>
    async (...args: A): Promise<T> => {
      if (looks++ === at) throw Object.assign(new Error(`${code}: ${args[0]}`), { code });
      return real(...args);
    };
  const faulty: DiskOf = (root) => {
    const real = realDisk(root);
    return { ...real, read: look(real.read), look: look(real.look), list: look(real.list) };
  };
  return Object.assign(faulty, { looks: () => looks });
}
