import { resolve } from "node:path";
import type { TrialReadings } from "../../src/kinematics/types.ts";
import type { Study } from "../../src/study/types.ts";
import { checkClipFile } from "../clip/ffmpeg/clipFailure.ts";
import { stated } from "../clip/ffmpeg/stated.ts";
import { Shares } from "../clip/link/networkShare.ts";
import { MIRRORED } from "../clip/store/frameTimes.ts";

/**
 * Adds the warning to the readings of trials whose clip's file asks to be shown as in a mirror. Only the files' headers are
 * read; a clip that is not there says nothing.
 */
export async function mirroredTrials(
  { clips, trials }: Study,
  folder: string,
): Promise<(trial: string, readings: TrialReadings) => TrialReadings> {
  const mirrored = new Set<string>();
  const shares = new Shares();
  for (const { id, path } of clips) {
    const file = resolve(folder, path);
    if (shares.unasked(file, resolve(folder)) !== null) continue;
    const there = await checkClipFile(file).catch(() => null);
    if (there && (await stated(file)).mirrored) mirrored.add(id);
  }
  return (trial, readings) => {
    const clip = trials.find((t) => t.id === trial)?.clip;
    if (clip === undefined || !mirrored.has(clip)) return readings;
    return { ...readings, warnings: [MIRRORED, ...readings.warnings] };
  };
}
