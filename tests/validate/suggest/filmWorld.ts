import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { build } from "esbuild";
import { type Filmed, film as filmed } from "../../../sample-clips/make/happenings.ts";
import type { ClipSpec } from "../../../sample-clips/make/people.ts";
import { makeRun } from "../../../sample-clips/make/run.ts";
import { film } from "../../../sample-clips/make/studio.ts";

/** A clip rendered for this run only: its frames as the store keeps them, and the world they show. */
export interface FilmedWorld {
  readonly world: Filmed;
  readonly jpeg: (frame: number) => Promise<Uint8Array>;
}

/** As the preparation of clips has it. */
const STORE_QUALITY = "3";

export function folderOf(spec: ClipSpec, folder: string): string {
  return join(folder, spec.name.replaceAll(/\W+/g, "-"));
}

/** Renders a clip below `folder`, unless it was rendered there before. */
export async function filmWorld(spec: ClipSpec, folder: string): Promise<FilmedWorld> {
  const own = folderOf(spec, folder);
  const done = join(own, "rendered");
  if (!existsSync(done)) await render(spec, own);
  writeFileSync(done, "");
  return {
    world: filmed(spec, makeRun(spec.run)),
    jpeg: async (frame) => readFileSync(join(own, `${frame}.jpg`)),
  };
}

async function render(spec: ClipSpec, own: string): Promise<void> {
  mkdirSync(own, { recursive: true });
  const clip = join(own, "clip.mp4");
  await film(spec, await hallScript(), clip, null);
  const frames = ["-v", "error", "-i", clip, "-fps_mode", "passthrough", "-start_number", "0"];
  const done = spawnSync("ffmpeg", [...frames, "-q:v", STORE_QUALITY, join(own, "%d.jpg")]);
  if (done.status !== 0) throw new Error(`ffmpeg: ${done.stderr}`);
}

let script: Promise<string> | null = null;

/** The generator's half that runs in a browser. */
function hallScript(): Promise<string> {
  script ??= build({
    entryPoints: [join(process.cwd(), "sample-clips/make/page/drawHall.ts")],
    ...{ bundle: true, format: "esm", write: false, logLevel: "warning" },
  }).then((made) => made.outputFiles![0]!.text);
  return script;
}
