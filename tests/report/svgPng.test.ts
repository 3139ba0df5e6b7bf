import { createCanvas, loadImage } from "@napi-rs/canvas";
import { describe, expect, it } from "vitest";
import { svgPng } from "../../electron/film/svgPng.ts";

/** A 2 x 1 drawing: left half red, right half left open. */
const HALF = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 10" width="20" height="10"><rect width="10" height="10" fill="#ff0000"/></svg>`;

async function pixels(png: Buffer) {
  const image = await loadImage(png);
  const context = createCanvas(image.width, image.height).getContext("2d");
  context.drawImage(image, 0, 0);
  const { data } = context.getImageData(0, 0, image.width, image.height);
  return {
    data,
    at: (x: number, y: number) => [
      ...data.subarray(4 * (y * image.width + x), 4 * (y * image.width + x) + 4),
    ],
  };
}

describe("a drawing as PNG", () => {
  // PNG (W3C, third edition) 5.2 and 11.2.2: signature, then IHDR with width and height, big-endian.
  it("is as wide as asked, in its own shape, see-through where nothing is drawn", async () => {
    const png = await svgPng(HALF, 64);
    expect([...png.subarray(0, 8)]).toEqual([137, 80, 78, 71, 13, 10, 26, 10]);
    expect(png.toString("latin1", 12, 16)).toBe("IHDR");
    expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([64, 32]);
    const { at } = await pixels(png);
    expect(at(5, 10)).toEqual([255, 0, 0, 255]);
    expect(at(50, 10)[3]).toBe(0);
  });

  it("is drawn anew at its size: an edge stays sharp", async () => {
    const { at } = await pixels(await svgPng(HALF, 640));
    expect(at(318, 100)).toEqual([255, 0, 0, 255]);
    expect(at(322, 100)[3]).toBe(0);
  });

  it("writes text whatever fonts the machine has", async () => {
    const text = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 20" width="100" height="20"><text x="2" y="16" font-size="16" font-family="system-ui, sans-serif">1.09 ± 0.03 m</text></svg>`;
    const { data } = await pixels(await svgPng(text, 200));
    let inked = 0;
    for (let k = 3; k < data.length; k += 4) if (data[k]! > 128) inked += 1;
    expect(inked).toBeGreaterThan(300);
  });
});
