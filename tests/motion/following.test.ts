import { createCanvas } from "@napi-rs/canvas";
import { expect, it } from "vitest";
import { Following } from "../../electron/motion/following.ts";
import type { Grey } from "../../src/motion/grey.ts";
import { DrawnScene } from "../helpers/drawnScene.ts";

/** As frames are kept: JPEG; drawn in closed form (tests/helpers/drawnScene.ts). */
function jpegOf({ width, height, data }: Grey): Uint8Array {
  const canvas = createCanvas(width, height);
  const context = canvas.getContext("2d");
  const image = context.createImageData(width, height);
  data.forEach((v, k) => {
    image.data.set([v, v, v, 255], 4 * k);
  });
  context.putImageData(image, 0, 0);
  return canvas.toBuffer("image/jpeg", 95);
}

it("a frame of which there is no picture is null, and the others stay in their places", async () => {
  const scene = new DrawnScene(240, 180, 4);
  const following = new Following();
  for (let n = 0; n < 8; n++) {
    const jpeg = n === 2 ? null : jpegOf(scene.seen({ dx: 3 * n }));
    expect(await following.take({ kind: "frame", jpeg })).toEqual({ kind: "taken" });
  }
  const answer = await following.take({ kind: "end" });
  if (answer.kind !== "followed") throw new Error(answer.kind);
  const { frames, still } = answer.motion;
  expect(still).toBe(false);
  expect(frames).toHaveLength(8);
  frames.forEach((found, n) => {
    if (n === 2) expect(found).toBeNull();
    else expect(found!.dxPx).toBeCloseTo(3 * n, 0);
  });
});
