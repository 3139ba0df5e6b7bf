import { MORE_THAN_0, NOT_NEGATIVE, type Row, readTable, WHOLE_FROM_0, writeTable } from "./csv.ts";
import type { EventFrame, EventName, Mark, PointName, Side, SuggestedMark } from "./types.ts";

export const SIDES: readonly Side[] = ["left", "right"];
export const POINTS: readonly PointName[] = ["blade_heel", "blade_toe", "hip", "shoulder", "elbow", "wrist"];
export const EVENTS: readonly EventName[] = [
  "blade_off",
  "blade_on",
  "recovery_min",
  "arm_front",
  "arm_back",
];

const PLAIN = ["u_px", "observer", "pass"];
/** Only where something was suggested. */
const OF_ORIGIN = [
  "from",
  "suggested_x_px",
  "suggested_y_px",
  "suggested_u_px",
  "suggested_by",
  "model",
  "templates",
  "blind",
];

const MARK_COLUMNS = {
  table: "marks.csv",
  required: ["frame", "time_s", "point", "side", "x_px", "y_px"],
  optional: [...PLAIN, ...OF_ORIGIN],
};

export const ORIGINS = ["hand", "accepted", "moved"] as const;

/**
 * `marks.csv`: one marked point a row. Times in seconds of clip time, places in px.
 *
 * @throws {MeasureError} `bad-table`, data.rows: line and reason of every bad row
 */
export function readMarksCsv(text: string): Mark[] {
  const lineOf = new Map<string, number>();
  return readTable(text, MARK_COLUMNS, (row) => {
    const uPx = row.optionalNumber("u_px", MORE_THAN_0);
    const observer = row.optionalText("observer");
    const pass = row.optionalNumber("pass", WHOLE_FROM_0);
    const mark: Mark = {
      frame: row.number("frame", WHOLE_FROM_0),
      time: row.number("time_s", NOT_NEGATIVE),
      point: row.choice("point", POINTS),
      side: row.choice("side", SIDES),
      xPx: row.number("x_px"),
      yPx: row.number("y_px"),
      ...(uPx !== undefined && { uPx }),
      ...(observer !== undefined && { observer }),
      ...(pass !== undefined && { pass }),
      ...originOf(row),
    };
    const key = [mark.frame, mark.point, mark.side, observer ?? "", pass ?? ""].join("|");
    const before = lineOf.get(key);
    if (before !== undefined) row.wrong(`marks the same point of the same frame as line ${before}`);
    else if (row.problems.length === 0) lineOf.set(key, row.line);
    return mark;
  });
}

/** What the columns from `from` on say of a mark that was suggested. */
function originOf(row: Row): Pick<Mark, "from" | "suggested"> {
  const from = row.optionalText("from");
  if (from === undefined) return {};
  const origin = ORIGINS.find((o) => o === from);
  if (!origin) {
    row.wrong(`from is "${from}"; it can be hand, accepted or moved`);
    return {};
  }
  const xPx = row.optionalNumber("suggested_x_px");
  const yPx = row.optionalNumber("suggested_y_px");
  const uPx = row.optionalNumber("suggested_u_px", MORE_THAN_0);
  if (xPx === undefined || yPx === undefined || uPx === undefined) {
    if (origin !== "hand")
      row.wrong(`is ${origin}, but suggested_x_px, suggested_y_px and suggested_u_px do not say from where`);
    return { from: origin };
  }
  const templates = (row.optionalText("templates") ?? "").split(/\s+/).filter(Boolean).map(Number);
  if (!templates.every((frame) => Number.isInteger(frame) && frame >= 0))
    row.wrong("templates must be numbers of frames, a space between them");
  const suggested: SuggestedMark = {
    xPx,
    yPx,
    uPx,
    by: row.optionalText("suggested_by") === "template" ? "template" : "pose",
    model: row.optionalText("model") ?? "",
    templates,
    ...(row.optionalYesNo("blind") && { blind: true }),
  };
  return { from: origin, suggested };
}

/** The cells of a mark from `from` on, in the order of the table's columns. */
export function originCells({ from, suggested: s }: Mark): (string | number | undefined)[] {
  if (!s) return [from, ...Array<undefined>(7)];
  return [from, s.xPx, s.yPx, s.uPx, s.by, s.model, s.templates.join(" "), s.blind ? "yes" : "no"];
}

export function writeMarksCsv(marks: readonly Mark[]): string {
  const told = marks.some((m) => m.from);
  return writeTable(
    [...MARK_COLUMNS.required, ...PLAIN, ...(told ? OF_ORIGIN : [])],
    marks.map((m) => [
      ...[m.frame, m.time, m.point, m.side, m.xPx, m.yPx, m.uPx, m.observer, m.pass],
      ...(told ? originCells(m) : []),
    ]),
  );
}

const EVENT_COLUMNS = {
  table: "events.csv",
  required: ["event", "side", "frame"],
  optional: ["time_s", "stride", "elbow_toward_camera", "wrist_toward_camera"],
};

/**
 * `events.csv`: what the eye picked.
 *
 * @param timeOfFrame clip time of a frame, seconds, for rows without `time_s`; null when it is not known
 * @throws {MeasureError} `bad-table`, data.rows: line and reason of every bad row
 */
export function readEventsCsv(text: string, timeOfFrame: (frame: number) => number | null): EventFrame[] {
  const lineOf = new Map<string, number>();
  return readTable(text, EVENT_COLUMNS, (row) => {
    const event = row.choice("event", EVENTS);
    const side = row.choice("side", SIDES);
    const frame = row.number("frame", WHOLE_FROM_0);
    row.optionalNumber("stride", WHOLE_FROM_0);
    const time = row.optionalNumber("time_s", NOT_NEGATIVE) ?? timeOfFrame(frame);
    if (time === null && Number.isInteger(frame)) {
      row.wrong(`nothing gives the time of frame ${frame}; fill in time_s, or mark a point on that frame`);
    }
    const arm = event === "arm_front" || event === "arm_back";
    const elbowTowardCamera = row.optionalYesNo("elbow_toward_camera");
    const wristTowardCamera = row.optionalYesNo("wrist_toward_camera");
    const key = `${event}|${side}|${frame}`;
    const before = lineOf.get(key);
    if (before !== undefined) row.wrong(`is the same event as line ${before}`);
    else if (row.problems.length === 0) lineOf.set(key, row.line);
    return {
      event,
      side,
      frame,
      time: time ?? Number.NaN,
      ...(arm && elbowTowardCamera !== undefined && { elbowTowardCamera }),
      ...(arm && wristTowardCamera !== undefined && { wristTowardCamera }),
    };
  });
}

export function writeEventsCsv(events: readonly EventFrame[]): string {
  const yesNo = (said: boolean | undefined) => (said === undefined ? "" : said ? "yes" : "no");
  return writeTable(
    ["event", "side", "frame", "time_s", "elbow_toward_camera", "wrist_toward_camera"],
    events.map((e) => [
      e.event,
      e.side,
      e.frame,
      e.time,
      yesNo(e.elbowTowardCamera),
      yesNo(e.wristTowardCamera),
    ]),
  );
}
