import { chmodSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Ffmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";

/** A program of our own in the place of ffmpeg; gone after the test. */
export function program(script: string): string {
  const path = join(temporaryFolder(), "ffmpeg");
  writeFileSync(path, `#!/bin/sh\n${script}\n`);
  chmodSync(path, 0o755);
  return path;
}

/** As if it had been found there. */
export const like = (path: string): Ffmpeg => ({
  ...{ path, origin: "system", version: "test" },
  ...{ passThrough: ["-fps_mode", "passthrough"], showTimes: "showinfo", cage: "none" },
});

export const MP4 = { container: "mov" } as const;
