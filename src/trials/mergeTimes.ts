import { freshId } from "../study/ids.ts";
import { type BadRow, badTable, type TimeRow } from "../study/tables.ts";
import type { Skater, Study, Technique, Trial } from "../study/types.ts";
import { isNamed, skaterOf, techniqueOf } from "./named.ts";

export interface MergedTimes {
  readonly study: Study;
  /** Trials that get their first time, and trials whose time changes. */
  readonly timed: number;
  readonly changed: readonly { readonly trial: string; readonly from: number; readonly to: number }[];
  readonly newTrials: number;
  readonly newSkaters: readonly string[];
  readonly newTechniques: readonly string[];
  /** Clips named in the table that the study does not have. */
  readonly unknownClips: readonly string[];
  /** Times by clips, which are not taken over. */
  readonly byClips: number;
}

/**
 * The study with a table of times in it. Trials are found by skater (name or code), technique and repeat; those
 * that are not there yet are added. Skaters (techniques) are added only to a study that has none, so that a
 * misspelt name is noticed.
 *
 * @throws {MeasureError} `bad-table`: every row that fits nothing, by line
 */
export function mergeTimes(study: Study, rows: readonly TimeRow[]): MergedTimes {
  const skaters = study.skaters.length > 0 ? study.skaters : newSkaters(rows);
  const techniques = study.techniques.length > 0 ? study.techniques : newTechniques(rows);
  const trials = new Map(study.trials.map((t) => [key(t.skater, t.technique, t.repeat), t]));
  const bad: BadRow[] = [];
  const changed: { trial: string; from: number; to: number }[] = [];
  const unknownClips = new Set<string>();
  const lineOf = new Map<string, number>();
  let [timed, added] = [0, 0];
  // A time by a clip is worked out from its frames or it is none: it never turns into a photocell time.
  const photocells = rows.map((row) => (row.timeU95 === undefined ? row : { ...row, time: null }));
  for (const row of photocells) {
    const skater = skaterOf(skaters, row.skater);
    const technique = techniqueOf(techniques, row.technique);
    if (!skater) bad.push({ line: row.line, reason: `there is no skater "${row.skater}" in Plan` });
    if (!technique) bad.push({ line: row.line, reason: `there is no technique "${row.technique}" in Plan` });
    if (!skater || !technique) continue;
    const at = key(skater.id, technique.id, row.repeat);
    const twin = lineOf.get(at);
    if (twin !== undefined) bad.push({ line: row.line, reason: `is the same trial as line ${twin}` });
    lineOf.set(at, row.line);
    const before = trials.get(at);
    if (!before) added++;
    if (before && before.time !== null && row.time !== null && before.time !== row.time) {
      changed.push({ trial: before.id, from: before.time, to: row.time });
    } else if (row.time !== null && (before?.time ?? null) === null) timed++;
    const clip = row.clip === undefined ? undefined : study.clips.find((c) => isNamed(row.clip!, c.name));
    if (row.clip !== undefined && !clip) unknownClips.add(row.clip);
    const base = before ?? newTrial(skater, technique, row, [...trials.values()]);
    trials.set(at, {
      ...base,
      order: row.order,
      time: row.time ?? base.time,
      valid: row.valid,
      ...(row.note !== undefined && { note: row.note }),
      ...(clip && base.clip === undefined && { clip: clip.id }),
    });
  }
  if (bad.length > 0) throw badTable("times.csv", bad);
  return {
    study: { ...study, skaters, techniques, trials: [...trials.values()] },
    timed,
    changed,
    newTrials: added,
    newSkaters: study.skaters.length > 0 ? [] : skaters.map((s) => s.name),
    newTechniques: study.techniques.length > 0 ? [] : techniques.map((t) => t.name),
    unknownClips: [...unknownClips],
    byClips: rows.filter((r) => r.timeU95 !== undefined).length,
  };
}

function newSkaters(rows: readonly TimeRow[]): Skater[] {
  const all: Skater[] = [];
  for (const name of new Set(rows.map((r) => r.skater))) {
    all.push({
      id: freshId(
        name,
        all.map((s) => s.id),
        "skater",
      ),
      name,
      code: `S${all.length + 1}`,
      body: {},
    });
  }
  return all;
}

function newTechniques(rows: readonly TimeRow[]): Technique[] {
  const all: Technique[] = [];
  for (const name of new Set(rows.map((r) => r.technique))) {
    all.push({
      id: freshId(
        name,
        all.map((t) => t.id),
        "technique",
      ),
      name,
      asked: [],
    });
  }
  return all;
}

function newTrial(skater: Skater, technique: Technique, row: TimeRow, others: readonly Trial[]): Trial {
  const id = freshId(
    `${skater.id}-${technique.id}-${row.repeat}`,
    others.map((t) => t.id),
    "trial",
  );
  return {
    id,
    skater: skater.id,
    technique: technique.id,
    repeat: row.repeat,
    order: row.order,
    time: null,
    valid: true,
    speedFactor: 1,
  };
}

function key(skater: string, technique: string, repeat: number): string {
  return JSON.stringify([skater, technique, repeat]);
}
