import type { MeasureInput } from "../../src/kinematics/types.ts";
import { type LagFound, soundLag } from "../../src/views/sound/soundLag.ts";
import { findFfmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import { bothHeard, type HeardClip, hear } from "../sound/hear.ts";
import { clipFile } from "./clipFile.ts";

/**
 * By view, how its clip's sound lies to the first one's; null for the first, and where no clip is given.
 *
 * @throws {MeasureError} what is wrong with a file; that one has no sound is an answer
 */
export async function lagsOf(
  inputs: readonly MeasureInput[],
  files: readonly (string | null)[],
): Promise<(LagFound | null)[]> {
  const [first = null, ...others] = files;
  if (first === null || others.every((file) => file === null)) return inputs.map(() => null);
  const own = await heard(first, inputs[0]!);
  const lags: (LagFound | null)[] = [null];
  for (const [k, file] of others.entries())
    lags.push(file === null ? null : lagOf(own, await heard(file, inputs[k + 1]!)));
  return lags;
}

async function heard(name: string, { events }: MeasureInput): Promise<HeardClip> {
  const file = await clipFile(name);
  const times = events.map(({ time }) => time);
  return hear(await findFfmpeg(), file, times);
}

/** By how much the second of two clips' clocks differs, or why that is not heard. */
export function lagOf(first: HeardClip, second: HeardClip): LagFound {
  const both = bothHeard(first, second);
  return "first" in both ? soundLag(both.first, both.second) : both;
}
