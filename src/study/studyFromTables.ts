import { MORE_THAN_0, NOT_NEGATIVE, type Row, readTable, WHOLE_FROM_1 } from "./csv.ts";
import { readIcePointFramesCsv, readIcePointsCsv, readKnownLengthCsv, readRechecksCsv } from "./iceTable.ts";
import { readStraightLinesCsv } from "./linesTable.ts";
import { readEventsCsv, readMarksCsv } from "./marksTable.ts";
import { readMotionCsv } from "./motionTable.ts";
import { readPassings } from "./passingsTable.ts";
import { readSetups } from "./setupsTable.ts";
import { rowsOfTrial, trialsIn } from "./trialRows.ts";
import type {
  Body,
  IceReference,
  KeptSound,
  Lane,
  Lens,
  Study,
  Trial,
  TrialClip,
  TrialMarks,
  WholeStudy,
} from "./types.ts";

/** The text of a table by its name, without `.csv`; null where there is none. */
export type TableOf = (name: string) => string | null;

/**
 * What a report's tables hold of a study, as far as measuring needs it: who skated, what was marked on each clip, and how clips
 * belong together. Clips are named by their trial's key, as the tables do not name them.
 *
 * @throws {MeasureError} `bad-table`, data.rows: line and reason of every bad row of the first table that has one
 */
export function studyFromTables(tableOf: TableOf): WholeStudy {
  const { trials: rows, markSdPx } = readTrials(tableOf("trials") ?? "");
  const views = optional(tableOf("views"), readViews);
  const trials = rows.map(({ trial }): Trial => {
    const further = views.filter((v) => v.trial === trial.id && v.number > 1);
    return further.length === 0 ? trial : { ...trial, clips: further.map(clipOfView) };
  });
  const skaters = optional(tableOf("skaters"), readSkaters);
  const marks = Object.fromEntries([
    ...rows.flatMap(({ trial, head }) => marksOf(tableOf, trial.id, { by: "trial", key: trial.id }, head)),
    ...views.flatMap((v) =>
      v.number === 1 ? [] : marksOf(tableOf, v.id, { by: "view", key: v.key }, v.head, soundOf(v)),
    ),
  ]);
  const setups = optional(tableOf("setups"), (text) =>
    readSetups(text, (trial, number) =>
      number === 1 ? trial : (views.find((v) => v.trial === trial && v.number === number)?.id ?? null),
    ),
  );
  const study: Study = {
    ...{ format: "blademark.study", version: 1, question: "", lane: readLane(tableOf("study")) },
    ...{ skaters, techniques: techniquesOf(trials), trials, clips: [], markSdPx },
    ...{ worthwhile: null, compare: null },
    ...(setups.length > 0 && { setups }),
  };
  return { study, marks };
}

const optional = <T>(text: string | null, read: (text: string) => T[]): T[] =>
  text === null ? [] : read(text);

/** What stands of a clip beside its marks. */
interface Head {
  readonly picture: {
    readonly width: number;
    readonly height: number;
    readonly frameInterval: number;
  } | null;
  readonly lens: Lens | null;
  readonly readoutShare: number | undefined;
  readonly copiedFrom: string | undefined;
}

const HEAD_COLUMNS = [
  "picture_width_px",
  "picture_height_px",
  "frame_interval_s",
  "lens_k1",
  "lens_k2",
  "readout_share",
  "scale_copied_from",
];

function headOf(row: Row): Head {
  const width = row.optionalNumber("picture_width_px", WHOLE_FROM_1);
  const height = row.optionalNumber("picture_height_px", WHOLE_FROM_1);
  const frameInterval = row.optionalNumber("frame_interval_s", MORE_THAN_0);
  const k1 = row.optionalNumber("lens_k1");
  const k2 = row.optionalNumber("lens_k2");
  return {
    picture:
      width !== undefined && height !== undefined && frameInterval !== undefined
        ? { width, height, frameInterval }
        : null,
    lens: k1 === undefined ? null : { k1, ...(k2 !== undefined && { k2 }) },
    readoutShare: row.optionalNumber("readout_share", NOT_NEGATIVE),
    copiedFrom: row.optionalText("scale_copied_from"),
  };
}

const TRIALS = {
  table: "trials.csv",
  required: ["trial", "order", "skater", "technique", "repeat"],
  optional: ["time_s", "time_from", "valid", "speed_factor", "mark_sd_stated_px", ...HEAD_COLUMNS],
};

/** Of trials nobody said how well marks repeat, px: as a new study has it. */
const MARK_SD_PX = 1.5;

function readTrials(text: string) {
  let markSdPx = MARK_SD_PX;
  const trials = readTable(text, TRIALS, (row) => {
    const byClip = row.optionalText("time_from") === "clip";
    const time = row.optionalNumber("time_s", MORE_THAN_0) ?? null;
    markSdPx = row.optionalNumber("mark_sd_stated_px", MORE_THAN_0) ?? markSdPx;
    const id = row.text("trial");
    const head = headOf(row);
    const trial: Trial = {
      id,
      skater: row.text("skater"),
      technique: row.text("technique"),
      repeat: row.number("repeat", WHOLE_FROM_1),
      order: row.number("order"),
      time: byClip ? null : time,
      ...(byClip && { timedBy: "clip" as const }),
      valid: row.optionalYesNo("valid") ?? true,
      ...(head.picture && { clip: id }),
      speedFactor: row.optionalNumber("speed_factor", MORE_THAN_0) ?? 1,
    };
    return { trial, head };
  });
  return { trials, markSdPx };
}

const SKATERS = {
  table: "skaters.csv",
  required: ["skater"],
  optional: ["hip_height_m", "upper_arm_m", "forearm_m", "stature_m", "blade_m"],
};

function readSkaters(text: string): Study["skaters"][number][] {
  return readTable(text, SKATERS, (row) => {
    const name = row.text("skater");
    const length = (column: string) => row.optionalNumber(column, MORE_THAN_0);
    const [hipHeight, upperArm] = [length("hip_height_m"), length("upper_arm_m")];
    const [forearm, stature, blade] = [length("forearm_m"), length("stature_m"), length("blade_m")];
    const body: Body = {
      ...(hipHeight !== undefined && { hipHeight }),
      ...(upperArm !== undefined && { upperArm }),
      ...(forearm !== undefined && { forearm }),
      ...(stature !== undefined && { stature }),
      ...(blade !== undefined && { blade }),
    };
    return { id: name, name, code: name, body };
  });
}

function techniquesOf(trials: readonly Trial[]): Study["techniques"] {
  return [...new Set(trials.map((t) => t.technique))].map((name) => ({ id: name, name, asked: [] }));
}

const STUDY = { table: "study.csv", required: [], optional: ["distance_m", "gates", "gate_beam", "start"] };

function readLane(text: string | null): Lane {
  const nothing: Lane = { distance: 0, unit: "m", gates: [], gateBeam: "not said", start: "not said" };
  const [lane = nothing] = optional(text, (table) =>
    readTable(table, STUDY, (row): Lane => {
      const gates = (row.optionalText("gates") ?? "").split(";").filter(Boolean).map(Number);
      if (!gates.every(Number.isFinite)) row.wrong("gates must be numbers with semicolons between");
      return {
        distance: row.optionalNumber("distance_m", MORE_THAN_0) ?? 0,
        unit: "m",
        gates,
        gateBeam: row.optionalChoice("gate_beam", ["single", "dual"] as const) ?? "not said",
        start: row.optionalChoice("start", ["standing", "flying"] as const) ?? "not said",
      };
    }),
  );
  return lane;
}

const HEARD = ["heard_offset_s", "heard_sd_s", "heard_at_s", "heard_overlap_s"] as const;
const HEARD_RATE = ["heard_rate", "heard_rate_sd", "heard_rate_over_s"] as const;
const VIEWS = {
  table: "views.csv",
  required: ["view", "trial", "number"],
  optional: ["id", "speed_factor", ...HEAD_COLUMNS, ...HEARD, ...HEARD_RATE, "heard_why_not"],
};

interface ViewRow {
  readonly key: string;
  readonly id: string;
  readonly trial: string;
  readonly number: number;
  readonly speedFactor: number;
  readonly head: Head;
  readonly heard: Pick<KeptSound, "lag" | "why"> | null;
}

function readViews(text: string): ViewRow[] {
  return readTable(text, VIEWS, (row): ViewRow => {
    const key = row.text("view");
    return {
      key,
      id: row.optionalText("id") ?? key,
      trial: row.text("trial"),
      number: row.number("number", WHOLE_FROM_1),
      speedFactor: row.optionalNumber("speed_factor", MORE_THAN_0) ?? 1,
      head: headOf(row),
      heard: heardOf(row),
    };
  });
}

function heardOf(row: Row): ViewRow["heard"] {
  const why = row.optionalText("heard_why_not");
  if (why !== undefined) return { lag: null, why };
  if (HEARD.every((name) => row.optionalText(name) === undefined)) return null;
  const [offset, sd, at, overlap] = HEARD.map((name) => row.number(name)) as [number, number, number, number];
  const isTold = HEARD_RATE.some((name) => row.optionalText(name) !== undefined);
  const rate = isTold ? (HEARD_RATE.map((name) => row.number(name)) as [number, number, number]) : null;
  return {
    lag: { offset, sd, at, overlap, rate: rate && { value: rate[0], sd: rate[1], seconds: rate[2] } },
  };
}

function soundOf({ id, trial, heard }: ViewRow): KeptSound | null {
  return heard && { clip: id, with: trial, ...heard };
}

function clipOfView({ id, speedFactor }: ViewRow): TrialClip {
  return { clip: id, role: "view", id, speedFactor };
}

interface OwnRows {
  readonly by: "trial" | "view";
  readonly key: string;
}

/** What was marked on one clip; none where nothing was. */
function marksOf(
  tableOf: TableOf,
  id: string,
  { by, key }: OwnRows,
  head: Head,
  sound: KeptSound | null = null,
): [string, TrialMarks][] {
  const own = (name: string): string | null => {
    const text = tableOf(by === "view" ? `view_${name}` : name);
    return text !== null && trialsIn(text, by).includes(key) ? rowsOfTrial(text, key, by) : null;
  };
  const picture = head.picture && { clip: id, ...head.picture };
  const iceReference = referenceOf(own, head);
  const motion = own("motion");
  const passings = optional(own("gate_passings"), readPassings);
  const lines = optional(own("straight_lines"), readStraightLinesCsv);
  if (!picture && !iceReference) return [];
  const marks: TrialMarks = {
    ...{ format: "blademark.marks", version: 1, trial: id, picture, iceReference },
    events: optional(own("events"), (text) => readEventsCsv(text, () => null)),
    marks: optional(own("marks"), readMarksCsv),
    ...(passings.length > 0 && { gatePassings: passings }),
    ...(lines.length > 0 && { straightLines: lines }),
    ...(motion !== null && { motion: { ...readMotionCsv(motion), clip: id } }),
    ...(sound && { sound }),
  };
  return [[id, marks]];
}

function referenceOf(own: TableOf, { lens, readoutShare, copiedFrom }: Head): IceReference | null {
  const copied = copiedFrom !== undefined && { copiedFrom };
  const [points, frames, lengths] = ["ice_points", "ice_points_frames", "known_length"].map(own);
  if (points) {
    const read = readIcePointsCsv(points);
    const labels = read.map((p) => p.label);
    const rechecks = optional(own("ice_rechecks"), (text) => readRechecksCsv(text, labels));
    const again = rechecks.length > 0 && { rechecks };
    return { kind: "ice-points", points: read, ...(lens && { lens }), ...again, ...copied };
  }
  if (frames) {
    const share = readoutShare !== undefined && { readoutShare };
    const read = readIcePointFramesCsv(frames);
    return { kind: "ice-points-by-frame", frames: read, ...(lens && { lens }), ...share, ...copied };
  }
  return lengths ? { kind: "known-lengths", lengths: readKnownLengthCsv(lengths), ...copied } : null;
}
