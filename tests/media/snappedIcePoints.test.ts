import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import type { Grey } from "../../src/suggest/pixels.ts";
import { snapPoint } from "../../src/suggest/snapPoint.ts";
import { normal, seeded } from "../helpers/random.ts";

const SAMPLES = join(import.meta.dirname, "../../sample-clips");

interface Truth {
  readonly camera: { readonly picture: readonly [number, number] };
  readonly ice_points: readonly { readonly label: string; readonly x_px: number; readonly y_px: number }[];
}

/** Facing the lane from far, where the last crosses are a few pixels high, and from the bench, where their bars are broad. */
it.each(["tove-close-1", "aino-open-2", "wren-close-1"])(
  "crosses on the ice of %s, pressed by a hand of 1.2 px, are snapped to where the renderer put them",
  (clip) => {
    const truth: Truth = JSON.parse(readFileSync(join(SAMPLES, `truth/${clip}.json`), "utf8"));
    const [width, height] = truth.camera.picture;
    const file = join(SAMPLES, "clips", `${clip}.mp4`);
    const one = ["-v", "error", "-i", file, "-frames:v", "1", "-f", "rawvideo", "-pix_fmt", "gray", "-"];
    const { stdout } = spawnSync("ffmpeg", one, { maxBuffer: 1e8 });
    expect(stdout.length).toBe(width * height);
    const grey: Grey = { left: 0, top: 0, width, height, values: Float32Array.from(stdout) };
    const random = seeded(21);
    let crosses = 0;
    const shares: number[] = [];
    for (const p of truth.ice_points) {
      const snap = snapPoint(grey, {
        xPx: p.x_px + 1.2 * normal(random),
        yPx: p.y_px + 1.2 * normal(random),
      });
      if ("why" in snap || snap.uPx === null) continue;
      const [dx, dy] = [snap.xPx - p.x_px, snap.yPx - p.y_px];
      shares.push(dx / snap.uPx, dy / snap.uPx);
      if (snap.kind !== "cross") continue;
      crosses++;
      expect(Math.hypot(dx, dy), p.label).toBeLessThan(0.3);
    }
    expect(crosses).toBeGreaterThanOrEqual(0.7 * truth.ice_points.length);
    // Stated no better than it is: within 2.5 times the standard uncertainty each, and on the whole within once.
    expect(Math.max(...shares.map(Math.abs))).toBeLessThan(2.5);
    expect(Math.sqrt(shares.reduce((s, x) => s + x * x, 0) / shares.length)).toBeLessThan(1.2);
  },
);
