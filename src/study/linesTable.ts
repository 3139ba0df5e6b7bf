import { readTable, WHOLE_FROM_0 } from "./csv.ts";
import type { StraightLine } from "./types.ts";

const COLUMNS = { table: "straight_lines.csv", required: ["line", "x_px", "y_px"], optional: ["frame"] };

/**
 * `straight_lines.csv`: points along what is straight in life, px as displayed; rows of one `line` (any name) are points of one line.
 *
 * @throws {MeasureError} `bad-table`, data.rows: line and reason of every bad row
 */
export function readStraightLinesCsv(text: string): StraightLine[] {
  const lines = new Map<string, { xPx: number; yPx: number }[]>();
  const frames = new Map<string, number | undefined>();
  readTable(text, COLUMNS, (row) => {
    const name = row.text("line");
    const frame = row.optionalNumber("frame", WHOLE_FROM_0);
    const before = lines.get(name);
    if (before && frames.get(name) !== frame) row.wrong("is on another frame than the line's first point");
    if (!before) frames.set(name, frame);
    lines.set(name, [...(before ?? []), { xPx: row.number("x_px"), yPx: row.number("y_px") }]);
    return name;
  });
  return [...lines].map(([name, points]) => {
    const frame = frames.get(name);
    return { points, ...(frame !== undefined && { frame }) };
  });
}
