import { MeasureError } from "../errors.ts";
import { COMPARE_QUANTITIES, type CompareQuantity } from "../quantities/compared.ts";
import { namedByCode, skaterLabels, typedText } from "../study/labels.ts";
import { newStudy } from "../study/newStudy.ts";
import type { TimedStudy } from "../study/timed.ts";
import type { Study, WholeStudy } from "../study/types.ts";
import { withClipTimes } from "../trials/clipTime.ts";
import { countedReadings } from "../trials/countedReadings.ts";
import type { ReadingOf } from "../trials/techniqueCheck.ts";
import { K95 } from "../uncertainty/uncertain.ts";

/** `means.json` of a shared study: what was measured, where the marks it came from are left out. */
export interface SharedMeans {
  readonly format: "blademark.means";
  readonly version: 1;
  /** By trial: each quantity's mean over the trial, in its own unit; what could not be had is left out. */
  readonly trials: Readonly<
    Record<string, Readonly<Partial<Record<CompareQuantity | "time_s_u95", number>>>>
  >;
}

/**
 * The shared study with the times that clips gave before its marks were left out (`time_s` and `time_s_u95` of its means).
 *
 * @param means null where the study is not a shared one
 */
export function withSharedTimes(study: TimedStudy, means: SharedMeans["trials"] | null): TimedStudy {
  if (!means) return study;
  const trials = study.trials.map((trial) => {
    const { time_s: time, time_s_u95: u95 } = means[trial.id] ?? {};
    const left = trial.timedBy === "clip" && trial.time === null && time !== undefined && u95 !== undefined;
    return left ? { ...trial, time, clipSd: u95 / K95 } : trial;
  });
  return { ...study, trials };
}

/**
 * A study that can be given away: skaters by code only, also in ids and typed text; no clips, marks, notes, bodies or who
 * timed, and no field that is not known here. Times stay, and the means of what was measured. Skaters and trials get ids by
 * their place in the study; who has no code is "Skater 1", "Skater 2" and gets none.
 *
 * @throws {MeasureError} `code-names` where a code would name somebody
 */
export function sharedStudy(whole: WholeStudy, readingOf: ReadingOf): { study: Study; means: SharedMeans } {
  const { study } = whole;
  const named = namedByCode(study).map(({ code }) => `"${code}"`);
  if (named.length > 0)
    throw new MeasureError(
      "code-names",
      `sharedStudy: codes name people: ${named.join(", ")}`,
      `A code names somebody: ${named.join(", ")}. Give codes in Plan that are nobody's name, such as S1.`,
    );
  const codes = skaterLabels(study, "codes");
  const typed = (words: string) => typedText(study, words, "codes");
  const skaterIds = new Map(study.skaters.map(({ id }, k) => [id, `skater-${k + 1}`]));
  const trialIds = new Map(study.trials.map(({ id }, k) => [id, `trial-${k + 1}`]));
  const techniqueIds = new Map(study.techniques.map(({ id }, k) => [id, `technique-${k + 1}`]));
  const { ice, airC, blades, stick } = study.conditions ?? {};
  const words = { ice, blades, stick };
  const said = Object.entries(words).flatMap(([key, text]) => (text ? [[key, typed(text)] as const] : []));
  const compare = study.compare && {
    a: techniqueIds.get(study.compare.a) ?? "",
    b: techniqueIds.get(study.compare.b) ?? "",
  };
  const shared: Study = {
    ...newStudy(),
    question: typed(study.question),
    lane: laneOf(study),
    skaters: study.skaters.map(({ id, code }) => {
      const label = codes.get(id)!;
      return { id: skaterIds.get(id)!, name: label, code: code === "" ? "" : label, body: {} };
    }),
    techniques: study.techniques.map((t) => ({
      ...{ id: techniqueIds.get(t.id)!, name: typed(t.name) },
      asked: t.asked.map(({ quantity, min, max }) => ({
        quantity,
        ...(min === undefined ? {} : { min }),
        ...(max === undefined ? {} : { max }),
      })),
    })),
    trials: study.trials.map(({ id, skater, technique, repeat, order, time, timedBy, valid }) => ({
      ...{ id: trialIds.get(id)!, repeat, order, time, valid, speedFactor: 1 },
      ...(timedBy && { timedBy }),
      skater: skaterIds.get(skater) ?? "",
      technique: techniqueIds.get(technique) ?? "",
    })),
    worthwhile: study.worthwhile,
    compare,
    ...(study.runOrder ? { runOrder: { seed: study.runOrder.seed, repeats: study.runOrder.repeats } } : {}),
    ...(study.date ? { date: study.date } : {}),
    ...(said.length > 0 || airC !== undefined
      ? { conditions: { ...Object.fromEntries(said), ...(airC === undefined ? {} : { airC }) } }
      : {}),
  };
  return { study: shared, means: meansOf(whole, readingOf, trialIds) };
}

function laneOf({ lane: { distance, unit, gates, gateBeam, start, placement: at } }: Study): Study["lane"] {
  return {
    ...{ distance, unit, gates, gateBeam, start },
    ...(at && {
      placement: { rink: at.rink, startX: at.startX, startY: at.startY, headingDeg: at.headingDeg },
    }),
  };
}

function meansOf(whole: WholeStudy, readingOf: ReadingOf, ids: ReadonlyMap<string, string>): SharedMeans {
  const counted = countedReadings(whole, readingOf);
  const trials: Record<string, Partial<Record<CompareQuantity | "time_s_u95", number>>> = {};
  for (const { id, time, clipSd } of withClipTimes(whole).study.trials) {
    const byClip = time !== null && clipSd !== undefined;
    const means: (typeof trials)[string] = byClip ? { time_s: time, time_s_u95: K95 * clipSd } : {};
    const reading = counted(id);
    if (byClip) trials[ids.get(id)!] = means;
    if (!reading.ok) continue;
    for (const quantity of COMPARE_QUANTITIES) {
      if (quantity === "time_s") continue;
      const found = reading.value.trial[quantity];
      if (!("why" in found)) means[quantity] = found.mean;
    }
    trials[ids.get(id)!] = means;
  }
  return { format: "blademark.means", version: 1, trials };
}
