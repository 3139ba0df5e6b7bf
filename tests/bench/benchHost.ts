import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join, relative } from "node:path";
import type { ClipIndex } from "../../src/study/exchange.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import { firstVisit } from "../helpers/firstVisit.ts";
import { printedAddress } from "../helpers/printedAddress.ts";

/** No clip has so many frames. */
const NEVER = 999_999_999;

export interface BenchHost {
  /** The printed address, with the key of this run. */
  readonly url: string;
  readonly study: string;
  /** Most memory the host has held, bytes; null where the system does not say. */
  peakBytes(): number | null;
  residentBytes(): number | null;
  /** The study folder with its cache, bytes; the clip itself lies outside. */
  diskBytes(): number;
  index(): Promise<ClipIndex>;
  untilReady(): Promise<ClipIndex>;
  close(): Promise<void>;
}

/** The built host over a fresh study with one trial, with or without its clip. */
export async function benchHost(root: string, clip: string | null): Promise<BenchHost> {
  const study = mkdtempSync(join(tmpdir(), "blademark-bench-"));
  mkdirSync(join(study, "marks"));
  writeFileSync(join(study, "study.json"), JSON.stringify(document(study, clip)));
  return serveFolder(root, study);
}

/** The built host in a process of its own, as people run it. Closing it takes the study folder away. */
export async function serveFolder(root: string, study: string): Promise<BenchHost> {
  const child = spawn(process.execPath, [join(root, "dist/electron/cli.js"), "serve", study, "--port", "0"], {
    stdio: ["ignore", "pipe", "pipe"],
  });
  const ended = once(child, "close");
  const url = await printedAddress(child);
  const { base, headers } = await firstVisit(url);
  const index = async (query = "") => {
    const answer = await fetch(new URL(`api/clips/bench/index${query}`, base), { headers });
    if (!answer.ok) throw new Error(`the host answered ${answer.status}: ${await answer.text()}`);
    return (await answer.json()) as ClipIndex;
  };
  const status = (field: string) => {
    try {
      const found = new RegExp(`^${field}:\\s+(\\d+) kB`, "m").exec(
        readFileSync(`/proc/${child.pid}/status`, "utf8"),
      );
      return found ? Number(found[1]) * 1024 : null;
    } catch {
      return null;
    }
  };
  return {
    url,
    study,
    peakBytes: () => status("VmHWM"),
    residentBytes: () => status("VmRSS"),
    diskBytes: () => folderBytes(study),
    index: () => index(),
    async untilReady() {
      for (;;) {
        // Answered when it has ended. Asked more often, the answers themselves would slow it down.
        const { state, failure } = await index(`?from=${NEVER}&until=${NEVER}`);
        if (state === "ready") return index();
        if (state === "failed") throw new Error(failure ?? "the clip failed");
      }
    },
    async close() {
      child.kill("SIGTERM");
      await ended;
      rmSync(study, { recursive: true, force: true, maxRetries: 3 });
    },
  };
}

function document(study: string, clip: string | null) {
  const trial = { id: "t1", skater: "a", technique: "x", repeat: 1, order: 1, time: null, valid: true };
  const link = clip && {
    id: "bench",
    name: basename(clip),
    path: relative(study, clip),
    bytes: statSync(clip).size,
  };
  return {
    ...newStudy(),
    skaters: [{ id: "a", name: "Aino", code: "A1", body: {} }],
    techniques: [{ id: "x", name: "close recovery", asked: [] }],
    trials: [{ ...trial, speedFactor: 1, ...(link ? { clip: "bench" } : {}) }],
    clips: link ? [link] : [],
  };
}

function folderBytes(folder: string): number {
  let sum = 0;
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile()) continue;
    // What is being renamed just now is counted under its other name.
    sum += statSync(join(entry.parentPath, entry.name), { throwIfNoEntry: false })?.size ?? 0;
  }
  return sum;
}
