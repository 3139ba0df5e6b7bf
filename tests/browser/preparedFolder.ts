import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { TestProject } from "vitest/node";

declare module "vitest" {
  interface ProvidedContext {
    /** A folder for clips that are prepared once in a run of the tests (preparedClips.ts). */
    preparedClips: string;
  }
}

/** Run by Vitest before the first test of the machine project. */
export default function (project: TestProject): () => void {
  const folder = mkdtempSync(join(tmpdir(), "blademark-prepared-"));
  project.provide("preparedClips", folder);
  return () => rmSync(folder, { recursive: true, force: true });
}
