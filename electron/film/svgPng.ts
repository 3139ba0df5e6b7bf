import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { loaded } from "./filmCanvas.ts";

const requireHere = createRequire(import.meta.url);
/** The name by which drawings ask for it, after the system's own. */
const FONT = "DejaVu Sans";

/**
 * A drawing as PNG, `widthPx` wide; what it leaves open stays see-through. Text looks the same on every machine: the
 * letters come along.
 *
 * @param svg without `paint-order` and line markers, which this library leaves out
 * @throws {MeasureError} `no-canvas`
 */
export async function svgPng(svg: string, widthPx: number): Promise<Buffer> {
  const { createCanvas, GlobalFonts, Image } = await loaded();
  if (!GlobalFonts.has(FONT))
    for (const weight of ["", "-Bold"])
      GlobalFonts.register(
        readFileSync(requireHere.resolve(`dejavu-fonts-ttf/ttf/DejaVuSans${weight}.ttf`)),
        FONT,
      );
  const image = new Image();
  image.src = Buffer.from(svg.replace(/font-family="[^"]*"/g, `font-family="${FONT}"`));
  await image.decode();
  const heightPx = Math.round((widthPx * image.height) / image.width);
  const canvas = createCanvas(widthPx, heightPx);
  // Redrawn at this size from the drawing itself, not from its pixels.
  image.width = widthPx;
  image.height = heightPx;
  canvas.getContext("2d").drawImage(image, 0, 0, widthPx, heightPx);
  return canvas.toBuffer("image/png");
}
