import { MeasureError } from "../../src/errors.ts";
import type { MeasureInput } from "../../src/kinematics/types.ts";
import { type LagFound, soundLag } from "../../src/views/sound/soundLag.ts";
import type { SoundTrack } from "../../src/views/sound/soundTrack.ts";
import { clipSound, MOST_HEARD } from "../clip/ffmpeg/clipSound.ts";
import { findFfmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import { clipFile } from "./clipFile.ts";

/** Seconds before the first event and after the last in which clips are listened to: who claps does so near the skate. [judgement] */
const AROUND = 60;

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
  for (const [k, file] of others.entries()) {
    if (file === null) lags.push(null);
    else lags.push(between(own, await heard(file, inputs[k + 1]!)));
  }
  return lags;
}

type Heard = SoundTrack | { readonly why: string };

function between(first: Heard, other: Heard): LagFound {
  if ("why" in first) return { lag: null, why: first.why };
  if ("why" in other) return { lag: null, why: other.why };
  return soundLag(first, other);
}

async function heard(name: string, { events }: MeasureInput): Promise<Heard> {
  const file = await clipFile(name);
  if (events.length === 0) return { why: "a view has no event, so where to listen is not known" };
  const times = events.map(({ time }) => time);
  const [first, last] = [Math.min(...times), Math.max(...times)];
  const middle = (first + last) / 2;
  const half = Math.min(MOST_HEARD / 2, (last - first) / 2 + AROUND);
  try {
    return await clipSound(await findFfmpeg(), { file, from: middle - half, to: middle + half });
  } catch (error) {
    if (!(error instanceof MeasureError) || error.code !== "no-sound") throw error;
    return { why: error.coach.replace(/\.$/, "") };
  }
}
