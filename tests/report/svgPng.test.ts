import { describe, expect, it } from "vitest";
import { svgPixels, svgPng } from "../../electron/clip/svgPng.ts";

/** A 2 x 1 drawing: left half red, right half left open. */
const HALF = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 10"><rect width="10" height="10" fill="#ff0000"/></svg>`;

describe("a drawing as pixels", () => {
  it("is as wide as asked, in its own shape, see-through where nothing is drawn", async () => {
    const { width, height, rgba } = await svgPixels(HALF, 40);
    expect([width, height, rgba.length]).toEqual([40, 20, 40 * 20 * 4]);
    const at = (x: number, y: number) => [...rgba.subarray(4 * (y * 40 + x), 4 * (y * 40 + x) + 4)];
    expect(at(5, 10)).toEqual([255, 0, 0, 255]);
    expect(at(30, 10)[3]).toBe(0);
  });

  it("writes text without a font of the machine's", async () => {
    const text = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 20"><text x="2" y="16" font-size="16" font-family="system-ui, sans-serif">1.09 ± 0.03 m</text></svg>`;
    const { rgba } = await svgPixels(text, 200);
    let inked = 0;
    for (let k = 3; k < rgba.length; k += 4) if (rgba[k]! > 128) inked += 1;
    expect(inked).toBeGreaterThan(300);
  });

  // PNG (W3C, third edition) 5.2 and 11.2.2: signature, then IHDR with width and height, big-endian.
  it("is a PNG of that size", async () => {
    const png = await svgPng(HALF, 64);
    expect([...png.subarray(0, 8)]).toEqual([137, 80, 78, 71, 13, 10, 26, 10]);
    expect(png.toString("latin1", 12, 16)).toBe("IHDR");
    expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([64, 32]);
  });
});
