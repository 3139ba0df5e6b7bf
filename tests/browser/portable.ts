import { spawn } from "node:child_process";
import { mkdirSync, readdirSync, symlinkSync } from "node:fs";
import { delimiter, join } from "node:path";
import { expect } from "vitest";
import type { Server } from "../../electron/serve.ts";
import { printedAddress } from "../helpers/printedAddress.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";

/** A folder that `npm run package -- --portable` made and somebody moved; `-- --portable --try` names it. */
export const PORTABLE = process.env.BLADEMARK_PORTABLE ?? null;

/**
 * The study in the portable folder's own program, as a person without Node starts it: an empty home, and nothing on the path but
 * ffmpeg, where the folder has none of its own.
 */
export async function servePortable(folder: string, study: string): Promise<Pick<Server, "url" | "close">> {
  const outer = temporaryFolder();
  const [home, bin] = [join(outer, "home"), join(outer, "bin")];
  for (const made of [home, bin]) mkdirSync(made);
  for (const name of ["ffmpeg", "ffprobe"]) {
    const found = onPath(name);
    if (found) symlinkSync(found, join(bin, name));
  }
  const start = readdirSync(folder).find((name) => name.toLowerCase().startsWith("start"));
  expect(start, `what starts ${folder}`).toBeDefined();
  const child = spawn("/bin/sh", [join(folder, start!), study], {
    env: { HOME: home, PATH: bin },
    stdio: ["ignore", "ignore", "pipe"],
  });
  const url = await printedAddress(child);
  return {
    url,
    async close() {
      const ended = new Promise((resolve) => child.once("exit", resolve));
      child.kill();
      expect(await ended, "it ends in order").toBe(0);
      expect(readdirSync(home), "it writes nothing into the home").toEqual([]);
    },
  };
}

function onPath(name: string): string | null {
  for (const folder of (process.env.PATH ?? "").split(delimiter))
    try {
      if (readdirSync(folder).includes(name)) return join(folder, name);
    } catch {
      // A folder of the path that is not there.
    }
  return null;
}
