import { dirname } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import type { Position } from "../../src/study/exchange.ts";
import { PLACES } from "../../src/study/places.ts";
import { type Disk, LINE_BYTES } from "../disk/disk.ts";

/** @throws {MeasureError} `bad-position` */
export function parsePosition(json: unknown): Position {
  const { place, trial, frame } = (json ?? {}) as Record<string, unknown>;
  const known = PLACES.find((p) => p === place);
  if (
    known &&
    (trial === null || typeof trial === "string") &&
    Number.isSafeInteger(frame) &&
    Number(frame) >= 0
  ) {
    return { place: known, trial, frame: Number(frame) };
  }
  throw new MeasureError(
    "bad-position",
    `parsePosition needs place, trial and frame; got ${JSON.stringify(json)}`,
    "That is not a position in a study.",
  );
}

/** Where the person was; null when that is not known. Losing it costs nothing. */
export async function readPosition(file: string, disk: Disk): Promise<Position | null> {
  try {
    return parsePosition(JSON.parse(String(await disk.read(file, LINE_BYTES))));
  } catch {
    return null;
  }
}

export async function writePosition(file: string, position: Position, disk: Disk): Promise<void> {
  try {
    await disk.makeFolder(dirname(file));
    await disk.replace(file, `${JSON.stringify(position)}\n`);
  } catch (error) {
    // A cache that leads elsewhere is not written; what is prepared there says so.
    if (!(error instanceof MeasureError)) throw error;
  }
}
