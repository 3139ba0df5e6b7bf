import { join } from "node:path";
import type { TrialMarks } from "../../src/study/types.ts";
import { H264, paintedClip } from "./paintedClip.ts";
import { STUDY, studyFolder } from "./studyFolder.ts";

/** Clip a: 60 frames a second of real time, painted from 0. Clip b: 240 of them, played at 30; painted from 5000. */
export const A = { frames: 90, fps: 60, event: 33, from: 0 };
export const B = { frames: 150, fps: 30, event: 61, from: 5000 };
export const PAIR_SIZE = { width: 384, height: 160 };

/** Both clips, written into a folder. */
export function pairOfClips(folder: string): Promise<string[]> {
  return Promise.all(
    [A, B].map(({ frames, fps, from }, k) =>
      paintedClip({
        file: join(folder, `${k}.mp4`),
        frames,
        fps,
        from,
        ...PAIR_SIZE,
        args: [...H264, "-bf", "2"],
      }),
    ),
  );
}

/** A study with a trial for each, and the event they are lined up on. */
export function pairStudy(files: readonly string[]): string {
  const trials = STUDY.trials.map((t, k) => ({ ...t, clip: `clip-${k}`, speedFactor: k === 0 ? 1 : 8 }));
  const marks = [A, B].map(
    ({ fps, event }, k): TrialMarks => ({
      format: "blademark.marks",
      version: 1,
      trial: `t${k + 1}`,
      iceReference: null,
      marks: [],
      picture: { clip: `clip-${k}`, ...PAIR_SIZE, frameInterval: 1 / fps },
      events: [{ event: "blade_off", side: "left", frame: event, time: event / fps }],
    }),
  );
  return studyFolder({ ...STUDY, trials }, marks, files);
}
