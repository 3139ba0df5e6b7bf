import { csvFormatRows, tsvParseRows } from "d3-dsv";
import { readTable, WHOLE_FROM_1, writeTable } from "./csv.ts";
import type { TimedStudy } from "./timed.ts";
import type { Lane } from "./types.ts";

/** One timed trial as it stands in `times.csv`. */
export interface TimeRow {
  /** Line of the file it came from; the header is line 1. */
  readonly line: number;
  /** Name or code, as written. */
  readonly skater: string;
  readonly technique: string;
  readonly repeat: number;
  readonly order: number;
  /** Photocell time, seconds; null = the cell is blank, the trial was not skated. */
  readonly time: number | null;
  readonly valid: boolean;
  readonly clip?: string;
  readonly group?: string;
  readonly note?: string;
  readonly start?: Exclude<Lane["start"], "not said">;
  readonly gateBeam?: Exclude<Lane["gateBeam"], "not said">;
  /** Of a time by a clip: the half-width of its 95 % interval, seconds. Absent = by photocells. */
  readonly timeU95?: number;
}

const COLUMNS = {
  table: "times.csv",
  required: ["skater", "technique", "repeat", "order", "time_s"],
  optional: ["clip", "group", "valid", "note", "start", "gate_beam", "time_from", "time_s_u95"],
};

/** Half-width of the 95 % interval of what is normal, in SDs; `K95` of the rooms that stand on this one. */
const K95_NORMAL = 1.96;

/** Seconds of a trial; no trial takes a day, and sums of squares of much larger numbers are none. */
const TRIAL_TIME = {
  words: "more than 0 and less than a day (86400)",
  holds: (v: number) => v > 0 && v < 86400,
};

/** Written only where clips time some of the trials. */
const CLIP_COLUMNS: ReadonlySet<string> = new Set(["time_from", "time_s_u95"]);

/**
 * `times.csv`: one timed trial a row. A blank time is a trial that was not skated; a blank `valid` means yes.
 *
 * @throws {MeasureError} `bad-table`, data.rows: line and reason of every bad row
 */
export function readTimesCsv(text: string): TimeRow[] {
  const lineOf = new Map<string, number>();
  return readTable(text, COLUMNS, (row) => {
    // One name, whichever way its accents are written: some systems part a letter from its ring.
    const name = (of: "skater" | "technique") => row.text(of).normalize();
    const [skater, technique] = [name("skater"), name("technique")];
    const repeat = row.number("repeat", WHOLE_FROM_1);
    const order = row.number("order", WHOLE_FROM_1);
    const time = row.optionalNumber("time_s", TRIAL_TIME) ?? null;
    const clip = row.optionalText("clip");
    const group = row.optionalText("group");
    const note = row.optionalText("note");
    const start = row.optionalChoice("start", ["standing", "flying"] as const);
    const gateBeam = row.optionalChoice("gate_beam", ["single", "dual"] as const);
    const valid = row.optionalYesNo("valid") ?? true;
    const from = row.optionalChoice("time_from", ["photocells", "clip"] as const);
    const timeU95 = row.optionalNumber("time_s_u95", TRIAL_TIME);
    if ((from === "clip") !== (timeU95 !== undefined))
      row.wrong("needs time_from clip and time_s_u95 together: a time by a clip has its own ±");
    const key = JSON.stringify([skater, technique, repeat]);
    const before = lineOf.get(key);
    if (before !== undefined) row.wrong(`is the same skater, technique and repeat as line ${before}`);
    else lineOf.set(key, row.line);
    return {
      line: row.line,
      skater,
      technique,
      repeat,
      order,
      time,
      valid,
      ...(clip !== undefined && { clip }),
      ...(group !== undefined && { group }),
      ...(note !== undefined && { note }),
      ...(start !== undefined && { start }),
      ...(gateBeam !== undefined && { gateBeam }),
      ...(timeU95 !== undefined && { timeU95 }),
    };
  });
}

/** The same table as it comes from a spreadsheet's clipboard: cells apart by tabs, times with the comma or point of its language. */
export function readPastedTable(text: string): TimeRow[] {
  const [head = [], ...body] = tsvParseRows(text);
  const time = head.findIndex((name) => name.trim() === "time_s");
  const rows = body.map((cells) =>
    cells.map((cell, i) => (i === time ? cell.replace(/^(\s*\d*),(\d+\s*)$/, "$1.$2") : cell)),
  );
  return readTimesCsv(csvFormatRows([head, ...rows]));
}

export function writeTimesCsv(rows: readonly Omit<TimeRow, "line">[]): string {
  const clips = rows.some((r) => r.timeU95 !== undefined);
  return writeTable(
    [...COLUMNS.required, ...COLUMNS.optional].filter((c) => clips || !CLIP_COLUMNS.has(c)),
    rows.map((r) => [
      r.skater,
      r.technique,
      r.repeat,
      r.order,
      r.time,
      r.clip,
      r.group,
      r.valid ? "yes" : "no",
      r.note,
      r.start,
      r.gateBeam,
      ...(clips ? [r.time === null ? null : r.timeU95 === undefined ? "photocells" : "clip", r.timeU95] : []),
    ]),
  );
}

/** The study's trials as rows of `times.csv`, in run order. `names: "codes"` leaves names out. */
export function timeRows(study: TimedStudy, names: "names" | "codes"): Omit<TimeRow, "line">[] {
  const { lane } = study;
  return study.trials
    .slice()
    .sort((a, b) => a.order - b.order)
    .map((trial) => {
      const skater = study.skaters.find((s) => s.id === trial.skater);
      const technique = study.techniques.find((t) => t.id === trial.technique);
      const clip = study.clips.find((c) => c.id === trial.clip);
      return {
        skater: (names === "codes" ? skater?.code : skater?.name) || trial.skater,
        technique: technique?.name || trial.technique,
        repeat: trial.repeat,
        order: trial.order,
        time: trial.time,
        valid: trial.valid,
        ...(clip && { clip: clip.name }),
        ...(trial.note && { note: trial.note }),
        ...(lane.start !== "not said" && { start: lane.start }),
        ...(lane.gateBeam !== "not said" && { gateBeam: lane.gateBeam }),
        ...(trial.clipSd !== undefined && { timeU95: Number((K95_NORMAL * trial.clipSd).toFixed(4)) }),
      };
    });
}
