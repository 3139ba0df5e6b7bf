import { asData } from "./asData.ts";

/** A drawing as a picture of that many pixels, drawn by the window itself. */
export async function asPng(svg: string, width: number, height: number): Promise<Blob> {
  const image = new Image(width, height);
  image.src = await asData(new Blob([svg], { type: "image/svg+xml" }));
  await image.decode();
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext("2d");
  if (!context) throw new Error("this window has no canvas to draw on");
  context.drawImage(image, 0, 0, width, height);
  return canvas.convertToBlob({ type: "image/png" });
}
