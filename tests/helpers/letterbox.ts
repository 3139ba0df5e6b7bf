import { spawnSync } from "node:child_process";
import { closeSync, constants, openSync, readSync } from "node:fs";
import { join } from "node:path";
import { onTestFinished } from "vitest";
import { temporaryFolder } from "./studyFolder.ts";

export interface Letterbox {
  /** To be written to like a file (`echo x >> PATH`), also by a program that may write no file. */
  readonly path: string;
  /** All that was written so far. */
  text(): string;
}

/** A named pipe that is always open, so that nobody who writes to it waits. */
export function letterbox(): Letterbox {
  const path = join(temporaryFolder(), "letterbox");
  const { status } = spawnSync("mkfifo", [path]);
  if (status !== 0) throw new Error(`mkfifo ${path} failed`);
  const pipe = openSync(path, constants.O_RDWR | constants.O_NONBLOCK);
  onTestFinished(() => closeSync(pipe));
  const parts: Buffer[] = [];
  return {
    path,
    text() {
      for (const part = Buffer.alloc(65536); ; ) {
        try {
          parts.push(Buffer.from(part.subarray(0, readSync(pipe, part))));
        } catch (error) {
          if ((error as NodeJS.ErrnoException).code !== "EAGAIN") throw error;
          return Buffer.concat(parts).toString("utf8");
        }
      }
    },
  };
}
