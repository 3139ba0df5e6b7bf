import { join } from "node:path";
import { z } from "zod";
import { MeasureError } from "../../src/errors.ts";
import type { SharedMeans } from "../../src/report/sharedStudy.ts";
import { type Disk, DOCUMENT_BYTES } from "../disk/disk.ts";

/** Beside `study.json` in a study that was shared without its marks. */
export const meansFile = (folder: string) => join(folder, "means.json");

const file = z.looseObject({
  format: z.literal("blademark.means"),
  version: z.literal(1),
  trials: z.record(z.string(), z.record(z.string(), z.number())),
});

/**
 * What was measured in a shared study; null where the study is none.
 *
 * @throws {MeasureError} `damaged-means`
 */
export async function readSharedMeans(folder: string, disk: Disk): Promise<SharedMeans["trials"] | null> {
  const bytes = await disk.read(meansFile(folder), DOCUMENT_BYTES);
  if (bytes === null) return null;
  try {
    return file.parse(JSON.parse(String(bytes))).trials;
  } catch {
    throw new MeasureError(
      "damaged-means",
      `${meansFile(folder)} cannot be read`,
      `means.json of ${folder} is damaged, so what was measured there is not known. Ask for the shared study once more.`,
    );
  }
}
