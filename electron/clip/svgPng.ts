import { createRequire } from "node:module";
import { dirname, join } from "node:path";

/** Pixels of a drawing, 4 bytes each: red, green, blue, opacity; rows from the top. */
export interface Pixels {
  readonly width: number;
  readonly height: number;
  readonly rgba: Uint8Array;
}

/** A drawing as PNG, `widthPx` wide; what it leaves open stays see-through. Text looks the same on every machine. */
export async function svgPng(svg: string, widthPx: number): Promise<Buffer> {
  return (await drawn(svg, widthPx)).asPng();
}

/** The same as pixels, to lay over a frame. */
export async function svgPixels(svg: string, widthPx: number): Promise<Pixels> {
  const { width, height, pixels } = await drawn(svg, widthPx);
  return { width, height, rgba: pixels };
}

async function drawn(svg: string, widthPx: number) {
  // Loaded when first needed: commands that draw nothing need no drawing library.
  const { Resvg } = await import("@resvg/resvg-js");
  return new Resvg(svg, {
    fitTo: { mode: "width", value: widthPx },
    font: { fontFiles: fontFiles(), loadSystemFonts: false, defaultFontFamily: "DejaVu Sans" },
  }).render();
}

/** Fonts come along with the app, because a machine without any would leave all text out. */
function fontFiles(): string[] {
  const fonts = createRequire(import.meta.url).resolve("dejavu-fonts-ttf/package.json");
  // The drawing library reads files itself and knows nothing of the desktop app's archive.
  const folder = join(dirname(fonts), "ttf").replace("app.asar", "app.asar.unpacked");
  return ["DejaVuSans.ttf", "DejaVuSans-Bold.ttf"].map((name) => join(folder, name));
}
