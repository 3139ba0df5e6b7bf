import { mkdirSync, mkdtempSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { newStudy } from "../../src/study/newStudy.ts";
import type { Study, TrialMarks } from "../../src/study/types.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { pinhole } from "../helpers/pinhole.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

const SKATERS = 15;
export const TRIALS = 4 * SKATERS;
export const CLIPS = TRIALS;
export const MARKS_EACH = 300;
const FPS = 60;

/** A study folder of 60 trials, each with its own clip and 300 marks, the last of its marks still missing. */
export function seasonStudy(root: string): string {
  const folder = mkdtempSync(join(tmpdir(), "blademark-bench-"));
  mkdirSync(join(folder, "marks"));
  mkdirSync(join(folder, "clips"));
  const samples = join(root, "sample-clips/clips");
  const sources = readdirSync(samples).filter((f) => f.endsWith("-1.mp4"));
  const techniques = ["close", "open"];
  const trials = Array.from({ length: TRIALS }, (_, k) => {
    const [skater, technique, repeat] = [`s${k >> 2}`, techniques[k % 2]!, 1 + ((k >> 1) % 2)];
    const id = `${skater}-${technique}-${repeat}`;
    writeFileSync(join(folder, "marks", `${id}.json`), JSON.stringify(marksOf(id, k)));
    copyOwn(join(samples, sources[k % sources.length]!), join(folder, "clips", `${id}.mp4`), k);
    const time = Number((4.7 - 0.1 * (k % 2) + 0.02 * ((7 * k) % 10)).toFixed(2));
    return { id, skater, technique, repeat, order: k + 1, time, valid: true, speedFactor: 1, clip: id };
  });
  const study: Study = {
    ...newStudy(),
    skaters: Array.from({ length: SKATERS }, (_, k) => ({
      ...{ id: `s${k}`, name: `Skater ${k + 1}`, code: `S${k + 1}`, body: {} },
    })),
    techniques: techniques.map((id) => ({ id, name: `${id} recovery`, asked: [] })),
    compare: { a: "close", b: "open" },
    trials,
    clips: trials.map(({ id }) => {
      const path = `clips/${id}.mp4`;
      return { id, name: `${id}.mp4`, path, bytes: statSync(join(folder, path)).size };
    }),
  };
  writeFileSync(join(folder, "study.json"), JSON.stringify(study));
  return folder;
}

/** The sample with an empty box of its own behind it: the same pictures, other bytes. */
function copyOwn(sample: string, to: string, k: number): void {
  const box = Buffer.alloc(12);
  box.writeUInt32BE(box.length, 0);
  box.write("free", 4, "latin1");
  box.writeUInt32BE(k, 8);
  writeFileSync(to, Buffer.concat([readFileSync(sample), box]));
}

function marksOf(trial: string, k: number): TrialMarks {
  const camera = pinhole([70, 0.3, 4], [25, 0], 30, 1280, 720);
  const skater = simulateSkater({
    ...ORDINARY,
    strides: 21,
    period: 0.26,
    speed: 5,
    startX: 2,
    recovery: k % 2 ? 0.2 : 0.05,
  });
  const { input } = filmedTrial(skater, {
    ...{ camera, fps: FPS, zone: [0, 50], noisePx: 1, slips: 0.2, statedSdPx: 1, random: seeded(k + 1) },
  });
  if (input.marks.length < MARKS_EACH) throw new Error(`only ${input.marks.length} marks`);
  return {
    ...{ format: "blademark.marks", version: 1, trial, events: [...input.events] },
    picture: { clip: trial, ...input.picture, frameInterval: 1 / FPS },
    iceReference: input.iceReference,
    marks: input.marks.slice(0, MARKS_EACH),
  };
}
