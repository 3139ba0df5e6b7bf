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
import { idsMeasuredTogether, type MeasuredTrial, measuredTrial } from "../../src/trials/measuredViews.ts";
import { scaleAgainstGates } from "../../src/trials/scaleAgainstGates.ts";
import { scalesUnlikeSpeeds } from "../../src/trials/scalesUnlikeSpeeds.ts";
import { stretchedScales } from "../../src/trials/stretchedScales.ts";
import type { ReadingOf } from "../../src/trials/techniqueCheck.ts";
import { trialInput } from "../../src/trials/trialInput.ts";
import { unlikeScales } from "../../src/trials/unlikeScales.ts";
import { viewsJson } from "../../src/views/viewsJson.ts";
import { readStudy } from "../vault/openStudy.ts";
import type { Io } from "./Command.ts";
import { listened } from "./listened.ts";
import { measureText, tell } from "./measureText.ts";
import { mirroredTrials } from "./mirroredTrials.ts";
import { tellViews, viewsText } from "./viewsText.ts";

/** `measure STUDY TRIAL` as from tables; `measure STUDY` for every trial, those that can't be measured with why. `seed` as from tables, and `listen` to the clips of its views, for one trial. */
export async function measureStudy(
  folder: string,
  trial: string | undefined,
  json: boolean,
  io: Io,
  { seed, listen }: { readonly seed: number | null; readonly listen: boolean },
): Promise<number> {
  const { whole: kept, notices } = await readStudy(folder, new Date());
  for (const notice of notices) io.say(notice);
  const whole = listen && trial !== undefined ? await listened(kept, trial, folder) : kept;
  const mirrored = await mirroredTrials(whole.study, folder);
  return tellStudy(whole, { trial, json, seed, what: folder }, io, mirrored);
}

/** What is asked of a study's trials; `what` it is read from, in words. */
interface Asked {
  readonly trial: string | undefined;
  readonly json: boolean;
  readonly seed: number | null;
  readonly what: string;
}

/** Measures one trial of a study, or all of them, and tells. @returns the exit status */
export function tellStudy(
  whole: WholeStudy,
  { trial, json, seed, what }: Asked,
  io: Io,
  mirrored: (trial: string, readings: TrialReadings) => TrialReadings = (_, readings) => readings,
): number {
  if (trial !== undefined) {
    const found = readingsOf(whole, trial, seed, measuredOnce(whole));
    const measured = { ...found, readings: mirrored(trial, found.readings) };
    if (measured.views.length === 0) tell(measured.readings, json, io, seed);
    else tellViews(measured, json, io);
    return 0;
  }
  const readingOf = measuredOnce(whole);
  const all = whole.study.trials.map(({ id }) => {
    const { measured, why } = attempt(whole, id, readingOf);
    return { id, measured: measured && { ...measured, readings: mirrored(id, measured.readings) }, why };
  });
  if (all.every((t) => t.measured === null)) {
    throw new MeasureError(
      "nothing-to-measure",
      `no trial of ${what} can be measured`,
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
        trials: all.map(({ id, measured, why }) =>
          measured ? { id, measure: measuredJson(measured) } : { id, measure: null, why },
        ),
      }),
    );
    return 0;
  }
  io.out(
    all
      .map(({ id, measured, why }) => `Trial ${id}\n${measured ? measuredText(measured) : why}`)
      .join("\n\n\n"),
  );
  return 0;
}

function attempt(
  whole: WholeStudy,
  id: string,
  readingOf: ReadingOf,
): { measured: MeasuredTrial | null; why: string } {
  try {
    return { measured: readingsOf(whole, id, null, readingOf), why: "" };
  } catch (error) {
    if (error instanceof MeasureError) return { measured: null, why: error.coach };
    throw error;
  }
}

/** A trial's readings, with drawn errors where there is a seed, and with the check of its clip against its photocell time. */
function readingsOf(whole: WholeStudy, id: string, seed: number | null, readingOf: ReadingOf): MeasuredTrial {
  const trial = whole.study.trials.find((t) => t.id === id);
  const { readings, ...views } =
    trial && seed === null ? measuredTrial(whole, trial) : drawnAlone(whole, id, seed);
  const check = trialPairing(whole, id, readings.strides);
  const far = farRecoveries(whole, id).map(({ code, text }) => ({ code, text }));
  const unlike = [
    ...scaleAgainstGates(whole, id, readingOf),
    ...unlikeScales(whole, id, readingOf),
    ...stretchedScales(whole, readingOf),
    ...scalesUnlikeSpeeds(whole, readingOf),
  ];
  const warnings = [...readings.warnings, ...far, ...unlike, ...(check ? [check] : [])];
  return { readings: { ...readings, warnings }, ...views };
}

/** One view by its own marks: a trial's first, or a further one by its id. */
function drawnAlone(whole: WholeStudy, id: string, seed: number | null): MeasuredTrial {
  const trial = whole.study.trials.find((t) => t.id === id);
  if (seed !== null && trial && idsMeasuredTogether(whole, trial).length > 0)
    throw new MeasureError(
      "one-view",
      `--seed draws errors of one view; trial ${id} has several`,
      "--seed draws errors for trials with one measured view; this one has several.",
    );
  const input = trialInput(whole, id);
  const readings = seed === null ? measureTrial(input) : measureTrialDrawn(input, randomNumbers(seed));
  return { readings, views: [], ids: [] };
}

function measuredJson({ readings, views }: MeasuredTrial): object {
  return views.length === 0 ? measureJson(readings) : viewsJson({ readings, views });
}

function measuredText({ readings, views }: MeasuredTrial): string {
  return views.length === 0 ? measureText(readings) : `${viewsText(views)}\n\n${measureText(readings)}`;
}
