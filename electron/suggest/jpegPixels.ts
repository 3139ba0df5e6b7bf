import type { Rgba } from "../../src/suggest/pixels.ts";
import { loaded } from "../film/filmCanvas.ts";

/** A frame of the store as numbers. @throws {MeasureError} `no-canvas` */
export async function jpegPixels(jpeg: Uint8Array): Promise<Rgba> {
  const { createCanvas, Image } = await loaded();
  const image = new Image();
  image.src = Buffer.from(jpeg.buffer, jpeg.byteOffset, jpeg.byteLength);
  await image.decode();
  const { width, height } = image;
  const pen = createCanvas(width, height).getContext("2d");
  pen.drawImage(image, 0, 0);
  return { width, height, data: pen.getImageData(0, 0, width, height).data };
}
