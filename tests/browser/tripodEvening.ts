import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { build } from "esbuild";
import type { Camera } from "../../sample-clips/make/camera.ts";
import { clipLink } from "../../sample-clips/make/coach.ts";
import { handMarks } from "../../sample-clips/make/handMarks.ts";
import { film as filmed } from "../../sample-clips/make/happenings.ts";
import { CLIPS, type ClipSpec, PEOPLE, runSpec } from "../../sample-clips/make/people.ts";
import { seeded } from "../../sample-clips/make/random.ts";
import { makeRun } from "../../sample-clips/make/run.ts";
import { film } from "../../sample-clips/make/studio.ts";
import { truthOf } from "../../sample-clips/make/truth.ts";
import { facingCamera } from "../../sample-clips/make/world.ts";
import type { Study, TrialMarks } from "../../src/study/types.ts";
import { SAMPLE_CLIPS, type Truth } from "../demo/demoFiles.ts";

/** The middle of the lane, metres: four or five strides of each trial. */
const ONLY: readonly [number, number] = [8, 22];
/** SD of how far the aim is off after somebody has pressed the camera's button: 4 px of the picture, each way. */
const [ASIDE_M, ALONG_M] = [0.028, 0.26];
/** One trial's clip was filmed after somebody had pushed the tripod's head aside: so many metres on the ice, 280 px. */
const PUSHED = { trial: "wren-open-1", aside: 2 };

const DEMO = CLIPS[0]!;
const TRIALS = [
  ...PEOPLE.flatMap(({ id }) => [runSpec(id, "close", 1), runSpec(id, "open", 1)]),
  runSpec("aino", "open", 2),
  runSpec("tove", "close", 2),
];

/**
 * Twelve trials of the demo's skaters, filmed by one tripod that stays where it stands all evening, from behind the finish. (The
 * demo's own clips are each filmed from another place, 5 to 80 cm apart.)
 */
export const TRIPOD: readonly ClipSpec[] = TRIALS.map((run): ClipSpec => {
  const touch = seeded(`hand on the camera before ${run.name}`);
  const stands = facingCamera(0);
  const [x, y, z] = stands.aim;
  const aside = ASIDE_M * touch.normal() + (run.name === PUSHED.trial ? PUSHED.aside : 0);
  const camera: Camera = { ...stands, aim: [x + ALONG_M * touch.normal(), y + aside, z] };
  return { ...DEMO, name: run.name, run, camera, only: ONLY, footage: { filters: [], crf: 20, openings: 4 } };
});

export const pushedTrial = PUSHED.trial;

const ofClip = (clip: ClipSpec) => filmed(clip, makeRun(clip.run));

export const truthOfTripod = (clip: ClipSpec) => truthOf(ofClip(clip)) as unknown as Truth;

/** What a hand marks on it, ice points and all. */
export const handOfTripod = (clip: ClipSpec): TrialMarks => handMarks(ofClip(clip));

/** Renders the clips below `home`, those that are not there yet. */
export async function renderTripod(home: string): Promise<void> {
  mkdirSync(join(home, "clips"), { recursive: true });
  const made = await build({
    entryPoints: [join(SAMPLE_CLIPS, "make/page/drawHall.ts")],
    ...{ bundle: true, format: "esm", write: false, logLevel: "warning" },
  });
  for (const clip of TRIPOD) {
    const file = join(home, "clips", `${clip.name}.mp4`);
    if (existsSync(file)) continue;
    await film(clip, made.outputFiles![0]!.text, `${file}.part.mp4`, null);
    renameSync(`${file}.part.mp4`, file);
  }
}

/** The evening as a study beside its clips: times and clips, and nothing marked. */
export function tripodStudy(home: string, name: string): string {
  const folder = join(home, name);
  mkdirSync(join(folder, "marks"), { recursive: true });
  const demo: Study = JSON.parse(readFileSync(join(SAMPLE_CLIPS, "demo-study/study.json"), "utf8"));
  const trials = TRIPOD.flatMap((clip) => {
    const trial = demo.trials.find((t) => t.id === clip.name);
    return trial ? [{ ...trial, clip: clip.name, speedFactor: 1 }] : [];
  });
  const clips = TRIPOD.flatMap((clip) => clipLink(clip, home));
  writeFileSync(
    join(folder, "study.json"),
    JSON.stringify({ ...demo, trials: trials.sort((a, b) => a.order - b.order), clips }),
  );
  return folder;
}
