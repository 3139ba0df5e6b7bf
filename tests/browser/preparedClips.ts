import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { inject } from "vitest";
import { createHost } from "../../electron/host/createHost.ts";
import type { ClipIndex } from "../../src/study/exchange.ts";
import type { ClipLink, Study } from "../../src/study/types.ts";
import { SAMPLE_CLIPS } from "../demo/demoFiles.ts";
import { STUDY } from "../helpers/studyFolder.ts";

/** The demo study's links to these clips where they lie, seen from a study folder. */
export function clipsOfDemo(ids: readonly string[], folder: string): ClipLink[] {
  const demo: Study = JSON.parse(readFileSync(`${SAMPLE_CLIPS}demo-study/study.json`, "utf8"));
  return demo.clips
    .filter(({ id }) => ids.includes(id))
    .map((clip) => ({ ...clip, path: relative(folder, join(SAMPLE_CLIPS, "clips", `${clip.id}.mp4`)) }));
}

/**
 * Gives a study folder the prepared frames of clips of the demo, as a study has them that was open before. They are prepared
 * once in a run of the tests: for what is not about preparing.
 */
export async function givePrepared(folder: string, ids: readonly string[]): Promise<void> {
  const once = join(inject("preparedClips"), ids.join(" "));
  if (!existsSync(once)) {
    const made = mkdtempSync(`${once} `);
    writeFileSync(join(made, "study.json"), JSON.stringify({ ...STUDY, clips: clipsOfDemo(ids, made) }));
    for (const id of ids) await prepareAll(made, id);
    // Another worker may have been quicker.
    if (!existsSync(once)) renameSync(made, once);
  }
  cpSync(join(once, "cache"), join(folder, "cache"), { recursive: true });
}

/** Prepares a clip of a study to its last frame. */
export async function prepareAll(study: string, clip: string): Promise<void> {
  const origin = "http://127.0.0.1:5147";
  mkdirSync(join(study, "marks"), { recursive: true });
  const host = await createHost({ study, windowDir: dirname(study), origins: () => new Set([origin]) });
  try {
    for (;;) {
      const index = (await (
        await host.handle(new Request(`${origin}/api/clips/${clip}/index`))
      ).json()) as ClipIndex;
      if (index.state === "ready") return;
      if (index.state === "failed") throw new Error(`${clip} was not prepared: ${index.failure}`);
      await new Promise((done) => setTimeout(done, 20));
    }
  } finally {
    await host.close();
  }
}
