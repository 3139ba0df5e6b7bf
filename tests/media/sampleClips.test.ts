import { execFile } from "node:child_process";
import { createHash } from "node:crypto";
import { readFileSync, statSync } from "node:fs";
import { promisify } from "node:util";
import { describe, expect, it } from "vitest";
import { findFfmpeg } from "../../electron/clip/ffmpeg/findFfmpeg.ts";
import { frameIndex } from "../../electron/clip/store/frameIndex.ts";
import { CLOCK } from "../../sample-clips/make/armsEvening.ts";
import { demoStudy, json, SAMPLE_CLIPS, truths } from "../demo/demoFiles.ts";
import { ALL } from "../faults/table.ts";
import { type ClockTruth, readClock } from "../helpers/clockReading.ts";

const run = promisify(execFile);
const links = [...demoStudy().study.clips, ...demoStudy("arms-study").study.clips];
const every = [...truths(), ...truths("arms-study")];
/** Their bytes are those whose every frame was held to the truth: in `npm test` each fifth is again, all in `npm run faults`. */
const held = every.filter((_, i) => ALL || i % 5 === 0);
const clock = json(`truth/${CLOCK.name}.json`) as ClockTruth;

describe("the sample clips as committed", () => {
  it("are thirteen of the one evening and thirteen of the other, 28 MB together at most", () => {
    const files = [...every.map((t) => t.clip), clock.clip].map((name) => `${SAMPLE_CLIPS}clips/${name}`);
    expect(files).toHaveLength(26);
    expect(files.reduce((sum, file) => sum + statSync(file).size, 0)).toBeLessThanOrEqual(28e6);
  });

  it("have the size and content that the studies name", () => {
    expect(links).toHaveLength(13 + 13);
    for (const clip of links) {
      const file = `${SAMPLE_CLIPS}clips/${clip.name}`;
      expect(statSync(file).size).toBe(clip.bytes);
      expect(createHash("sha256").update(readFileSync(file)).digest("hex")).toBe(clip.sha256);
    }
  });

  it.each(held.map((t) => [t.clip, t] as const))(
    "%s decodes to the frames its truth counts, evenly timed",
    async (name, truth) => {
      const index = await frameIndex(await findFfmpeg(), `${SAMPLE_CLIPS}clips/${name}`);
      expect(index.count).toBe(truth.frames);
      expect([index.width, index.height]).toEqual(truth.camera.picture);
      const last = index.times.at(-1)!;
      expect(last).toBeCloseTo((truth.frames - 1) / truth.fps_claimed, 4);
    },
  );

  it.each(held.map((t) => [t.clip, t] as const))(
    "%s shows the crosses where its truth says",
    async (name, truth) => {
      const [width, height] = truth.camera.picture;
      const { path } = await findFfmpeg();
      const args = ["-v", "error", "-i", `${SAMPLE_CLIPS}clips/${name}`, "-frames:v", "1"];
      const { stdout } = await run(path, [...args, "-f", "rawvideo", "-pix_fmt", "gray", "-"], {
        encoding: "buffer",
        maxBuffer: 2 * width * height,
      });
      expect(stdout).toHaveLength(width * height);
      // A painted line beside a cross would draw its centre of darkness aside: blue and red lines of the rink.
      const clear = truth.ice_points.filter((p) => !["P1", "P2", "P7", "P8"].includes(p.label));
      expect(clear.length).toBeGreaterThanOrEqual(6);
      for (const p of clear) {
        const at = darkCentre(
          stdout,
          width,
          p.x_px,
          p.y_px,
          p.x_m > 20 || truth.camera.place_m[1] < -10 ? 40 : 22,
        );
        // Half a pixel of drawing and half of what the encoder smears where contrast is low.
        expect(Math.hypot(at.x - p.x_px, at.y - p.y_px), p.label).toBeLessThan(1);
      }
    },
  );
});

describe("the clip of the timing display", () => {
  it("decodes to the frames its truth counts, runs, and stands at 4.75 from the frame the truth names", async () => {
    const [width, height] = clock.picture;
    const { path } = await findFfmpeg();
    const args = ["-v", "error", "-i", `${SAMPLE_CLIPS}clips/${clock.clip}`];
    const { stdout } = await run(path, [...args, "-f", "rawvideo", "-pix_fmt", "gray", "-"], {
      encoding: "buffer",
      maxBuffer: 2 * width * height * clock.frames,
    });
    expect(stdout.length).toBe(width * height * clock.frames);
    // A lit bar is red: far brighter than the black face, darker than white.
    const shown = (frame: number) =>
      readClock(clock, (x, y) => stdout[(frame * height + y) * width + x]!, 60);
    const still = clock.first_still_frame;
    for (const frame of [still, still + 30, clock.frames - 1]) expect(shown(frame)).toBe("4.75");
    expect(shown(0)).toMatch(/^3\.8/);
    expect(shown(still - 6)).not.toBe("4.75");
  });
});

/** Centre of what is darker than the ice around it, in a low window about a point; px. */
function darkCentre(
  grey: Buffer,
  width: number,
  x0: number,
  y0: number,
  half: number,
): { x: number; y: number } {
  const [cx, cy, tall] = [Math.round(x0), Math.round(y0), Math.round(half / 3.6)];
  const level = (x: number, y: number) => grey[y * width + x]!;
  const rows = Array.from({ length: 2 * tall + 1 }, (_, k) => cy - tall + k);
  const ice =
    rows.reduce((sum, y) => sum + level(cx - half - 3, y) + level(cx + half + 3, y), 0) / (2 * rows.length);
  let [sum, sx, sy] = [0, 0, 0];
  for (const y of rows) {
    for (let x = cx - half; x <= cx + half; x++) {
      const dark = ice - level(x, y);
      if (dark < 25) continue;
      sum += dark;
      sx += dark * x;
      sy += dark * y;
    }
  }
  return { x: sx / sum, y: sy / sum };
}
