import { cpSync, readFileSync, writeFileSync } from "node:fs";
import { basename, join, resolve } from "node:path";
import { expect, it } from "vitest";
import type { Study } from "../../src/study/types.ts";
import { blademark } from "../helpers/commandLine.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";

const DEMO = join(import.meta.dirname, "../../sample-clips/demo-study");

it("says beside what is measured that left and right may be exchanged in its clip", async () => {
  const folder = temporaryFolder();
  cpSync(DEMO, folder, { recursive: true });
  const study = JSON.parse(readFileSync(join(folder, "study.json"), "utf8")) as Study;
  const [one, other] = study.trials.filter((t) => t.clip);
  const clips = study.clips.map((clip) => {
    const from = resolve(DEMO, clip.path);
    const path = join(folder, basename(clip.path));
    const bytes = readFileSync(from);
    // The track header's matrix, 40 bytes after its name in version 0 (ISO/IEC 14496-12, 8.3.2): x' = -x.
    if (clip.id === one?.clip) bytes.writeInt32BE(-65536, bytes.indexOf("tkhd") + 44);
    writeFileSync(path, bytes);
    return { ...clip, path };
  });
  writeFileSync(join(folder, "study.json"), JSON.stringify({ ...study, clips }));
  const warnings = async (trial: string) => {
    const { out } = await blademark("measure", folder, trial, "--json");
    return (JSON.parse(out) as { warnings: { code: string; text: string }[] }).warnings;
  };
  expect((await warnings(one!.id))[0]).toMatchObject({
    code: "mirrored",
    text: expect.stringMatching(/Left and right/),
  });
  expect((await warnings(other!.id)).map((w) => w.code)).not.toContain("mirrored");
});
