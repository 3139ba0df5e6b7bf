import { MORE_THAN_0, NOT_NEGATIVE, type Row, readTable, WHOLE_FROM_0, writeTable } from "./csv.ts";
import type { FramePoints, IcePoint, IceRecheck, KnownLength } from "./types.ts";

const POINT_COLUMNS = {
  table: "ice_points.csv",
  required: ["label", "x_px", "y_px", "ice_x_m", "ice_y_m"],
  optional: ["u_px", "u_m"],
};

/** Of a camera that stands still, on which frame each was put. */
const STILL_COLUMNS = { ...POINT_COLUMNS, optional: [...POINT_COLUMNS.optional, "frame"] };

/**
 * `ice_points.csv`: a static camera's ice reference. Places on the ice in metres, ice frame.
 *
 * @throws {MeasureError} `bad-table`, data.rows: line and reason of every bad row
 */
export function readIcePointsCsv(text: string): IcePoint[] {
  const lineOf = new Map<string, number>();
  return readTable(text, STILL_COLUMNS, (row) => {
    const frame = row.optionalNumber("frame", WHOLE_FROM_0);
    return { ...readPoint(row, lineOf, ""), ...(frame !== undefined && { frame }) };
  });
}

const FRAME_COLUMNS = {
  ...POINT_COLUMNS,
  table: "ice_points_frames.csv",
  required: ["frame", ...POINT_COLUMNS.required],
};

/**
 * `ice_points_frames.csv`: ice points frame by frame, for a camera that pans or zooms; frames in increasing order.
 *
 * @throws {MeasureError} `bad-table`, data.rows: line and reason of every bad row
 */
export function readIcePointFramesCsv(text: string): FramePoints[] {
  const lineOf = new Map<string, number>();
  const rows = readTable(text, FRAME_COLUMNS, (row) => {
    const frame = row.number("frame", WHOLE_FROM_0);
    return { frame, point: readPoint(row, lineOf, ` on frame ${frame}`) };
  });
  const frames = new Map<number, IcePoint[]>();
  for (const { frame, point } of rows) frames.set(frame, [...(frames.get(frame) ?? []), point]);
  return [...frames].sort(([a], [b]) => a - b).map(([frame, points]) => ({ frame, points }));
}

function readPoint(row: Row, lineOf: Map<string, number>, where: string): IcePoint {
  const uPx = row.optionalNumber("u_px", MORE_THAN_0);
  const u = row.optionalNumber("u_m", NOT_NEGATIVE);
  const label = row.text("label");
  const before = lineOf.get(label + where);
  if (before !== undefined) row.wrong(`has the same label${where} as line ${before}`);
  else if (label) lineOf.set(label + where, row.line);
  return {
    label,
    xPx: row.number("x_px"),
    yPx: row.number("y_px"),
    x: row.number("ice_x_m"),
    y: row.number("ice_y_m"),
    ...(uPx !== undefined && { uPx }),
    ...(u !== undefined && { u }),
  };
}

export function writeIcePointsCsv(points: readonly IcePoint[]): string {
  const saidWhere = points.some((p) => p.frame !== undefined);
  return writeTable(
    [...POINT_COLUMNS.required, ...POINT_COLUMNS.optional, ...(saidWhere ? ["frame"] : [])],
    points.map((p) => [p.label, p.xPx, p.yPx, p.x, p.y, p.uPx, p.u, ...(saidWhere ? [p.frame] : [])]),
  );
}

export function writeIcePointFramesCsv(frames: readonly FramePoints[]): string {
  return writeTable(
    [...FRAME_COLUMNS.required, ...POINT_COLUMNS.optional],
    frames.flatMap(({ frame, points }) =>
      points.map((p) => [frame, p.label, p.xPx, p.yPx, p.x, p.y, p.uPx, p.u]),
    ),
  );
}

const RECHECK_COLUMNS = {
  table: "ice_rechecks.csv",
  required: ["frame", "label", "x_px", "y_px"],
  optional: [],
};

/**
 * Ice points of a static camera pressed again on later frames.
 *
 * @param labels of the ice points there are
 * @throws {MeasureError} `bad-table`, data.rows: line and reason of every bad row
 */
export function readRechecksCsv(text: string, labels: readonly string[]): IceRecheck[] {
  const lineOf = new Map<string, number>();
  return readTable(text, RECHECK_COLUMNS, (row) => {
    const frame = row.number("frame", WHOLE_FROM_0);
    const label = row.text("label");
    if (label && !labels.includes(label)) row.wrong(`there is no ice point ${label}`);
    const before = lineOf.get(`${frame} ${label}`);
    if (before !== undefined) row.wrong(`is the same point on the same frame as line ${before}`);
    lineOf.set(`${frame} ${label}`, row.line);
    return { frame, label, xPx: row.number("x_px"), yPx: row.number("y_px") };
  });
}

const LENGTH_COLUMNS = {
  table: "known_length.csv",
  required: ["x1_px", "y1_px", "x2_px", "y2_px", "length_m"],
  optional: ["frame", "u_m"],
};

/**
 * `known_length.csv`: lengths lying on the ice, metres, both ends in px.
 *
 * @throws {MeasureError} `bad-table`, data.rows: line and reason of every bad row
 */
export function readKnownLengthCsv(text: string): KnownLength[] {
  return readTable(text, LENGTH_COLUMNS, (row) => {
    const frame = row.optionalNumber("frame", WHOLE_FROM_0);
    const u = row.optionalNumber("u_m", NOT_NEGATIVE);
    const length: KnownLength = {
      x1Px: row.number("x1_px"),
      y1Px: row.number("y1_px"),
      x2Px: row.number("x2_px"),
      y2Px: row.number("y2_px"),
      length: row.number("length_m", MORE_THAN_0),
      ...(frame !== undefined && { frame }),
      ...(u !== undefined && { u }),
    };
    if (length.x1Px === length.x2Px && length.y1Px === length.y2Px) row.wrong("both ends are the same point");
    return length;
  });
}

export function writeKnownLengthCsv(lengths: readonly KnownLength[]): string {
  return writeTable(
    [...LENGTH_COLUMNS.required, ...LENGTH_COLUMNS.optional],
    lengths.map((l) => [l.x1Px, l.y1Px, l.x2Px, l.y2Px, l.length, l.frame, l.u]),
  );
}
