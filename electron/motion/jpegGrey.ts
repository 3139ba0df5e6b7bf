import type { Grey } from "../../src/motion/grey.ts";
import { jpegPixels } from "../suggest/jpegPixels.ts";

/** A frame of the store as brightness, as in BT.601, which JPEG uses. @throws {MeasureError} `no-canvas` */
export async function jpegGrey(jpeg: Uint8Array): Promise<Grey> {
  const { width, height, data } = await jpegPixels(jpeg);
  const grey = new Uint8Array(width * height);
  for (let i = 0; i < grey.length; i++)
    grey[i] = Math.round(0.299 * data[4 * i]! + 0.587 * data[4 * i + 1]! + 0.114 * data[4 * i + 2]!);
  return { width, height, data: grey };
}
