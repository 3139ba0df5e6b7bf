import { MeasureError } from "../../src/errors.ts";
import { measureJson } from "../../src/kinematics/measureJson.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { measureTrialDrawn } from "../../src/kinematics/measureTrialDrawn.ts";
import type { TrialReadings } from "../../src/kinematics/types.ts";
import { randomNumbers } from "../../src/statistics/randomNumbers.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { trialPairing } from "../../src/trials/clipGateTime.ts";
import { farRecoveries } from "../../src/trials/farRecoveries.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { stretchedScales } from "../../src/trials/stretchedScales.ts";
import type { ReadingOf } from "../../src/trials/techniqueCheck.ts";
import { trialInput } from "../../src/trials/trialInput.ts";
import { unlikeScales } from "../../src/trials/unlikeScales.ts";
import { readStudy } from "../vault/openStudy.ts";
import type { Io } from "./Command.ts";
import { measureText, tell } from "./measureText.ts";
import { mirroredTrials } from "./mirroredTrials.ts";

/** `measure STUDY TRIAL` as from tables; `measure STUDY` for every trial, those that can't be measured with why. `seed` as from tables, for one trial. */
export async function measureStudy(
  folder: string,
  trial: string | undefined,
  json: boolean,
  io: Io,
  seed: number | null,
): Promise<number> {
  const { whole, notices } = await readStudy(folder, new Date());
  for (const notice of notices) io.say(notice);
  const mirrored = await mirroredTrials(whole.study, folder);
  if (trial !== undefined) {
    tell(mirrored(trial, readingsOf(whole, trial, seed, measuredOnce(whole))), json, io, seed);
    return 0;
  }
  const readingOf = measuredOnce(whole);
  const all = whole.study.trials.map(({ id }) => {
    const { readings, why } = attempt(whole, id, readingOf);
    return { id, readings: readings && mirrored(id, readings), why };
  });
  if (all.every((t) => t.readings === null)) {
    throw new MeasureError(
      "nothing-to-measure",
      `no trial of ${folder} can be measured`,
      all.length === 0
        ? "This study has no trials yet."
        : `None of its ${all.length} trials can be measured yet. ${all[0]?.id}: ${all[0]?.why}`,
    );
  }
  if (json) {
    io.out(
      JSON.stringify({
        format: "blademark.measure-study",
        version: 1,
        trials: all.map(({ id, readings, why }) =>
          readings ? { id, measure: measureJson(readings) } : { id, measure: null, why },
        ),
      }),
    );
    return 0;
  }
  io.out(
    all
      .map(({ id, readings, why }) => `Trial ${id}\n${readings ? measureText(readings) : why}`)
      .join("\n\n\n"),
  );
  return 0;
}

function attempt(
  whole: WholeStudy,
  id: string,
  readingOf: ReadingOf,
): { readings: TrialReadings | null; why: string } {
  try {
    return { readings: readingsOf(whole, id, null, readingOf), why: "" };
  } catch (error) {
    if (error instanceof MeasureError) return { readings: null, why: error.coach };
    throw error;
  }
}

/** A trial's readings, with drawn errors where there is a seed, and with the check of its clip against its photocell time. */
function readingsOf(whole: WholeStudy, id: string, seed: number | null, readingOf: ReadingOf): TrialReadings {
  const input = trialInput(whole, id);
  const readings = seed === null ? measureTrial(input) : measureTrialDrawn(input, randomNumbers(seed));
  const check = trialPairing(whole, id, readings.strides);
  const far = farRecoveries(whole, id).map(({ code, text }) => ({ code, text }));
  const unlike = [...unlikeScales(whole, id, readingOf), ...stretchedScales(whole, readingOf)];
  return { ...readings, warnings: [...readings.warnings, ...far, ...unlike, ...(check ? [check] : [])] };
}
