import { createHash } from "node:crypto";
import { readFileSync, statSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { findFfmpeg } from "../../electron/clip/findFfmpeg.ts";
import { frameIndex } from "../../electron/clip/frameIndex.ts";
import { demoStudy, SAMPLE_CLIPS, truths } from "../demo/demoFiles.ts";

const { study } = demoStudy();

describe("the sample clips as committed", () => {
  it("are thirteen, 28 MB together at most, with the size and content that the demo study names", () => {
    expect(study.clips).toHaveLength(13);
    expect(study.clips.reduce((sum, c) => sum + c.bytes, 0)).toBeLessThanOrEqual(28e6);
    for (const clip of study.clips) {
      const file = `${SAMPLE_CLIPS}clips/${clip.name}`;
      expect(statSync(file).size).toBe(clip.bytes);
      expect(createHash("sha256").update(readFileSync(file)).digest("hex")).toBe(clip.sha256);
    }
  });

  it.each(truths().map((t) => [t.clip, t] as const))(
    "%s decodes to the frames its truth counts, evenly timed",
    async (name, truth) => {
      const index = await frameIndex(await findFfmpeg(), `${SAMPLE_CLIPS}clips/${name}`);
      expect(index.count).toBe(truth.frames);
      expect([index.width, index.height]).toEqual(truth.camera.picture);
      const last = index.times.at(-1)!;
      expect(last).toBeCloseTo((truth.frames - 1) / truth.fps_claimed, 4);
    },
  );
});
