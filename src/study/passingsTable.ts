import { NOT_NEGATIVE, readTable } from "./csv.ts";
import type { GatePassing } from "./types.ts";

const PASSINGS = {
  table: "gate_passings.csv",
  required: ["gate_x_m", "frame", "time_s"],
  optional: ["share"],
};

/** `gate_passings.csv` of a report's tables: the frames picked at the gates. @throws {MeasureError} `bad-table` */
export function readPassings(text: string): GatePassing[] {
  return readTable(text, PASSINGS, (row) => {
    const share = row.optionalNumber("share", NOT_NEGATIVE);
    return {
      gate: row.number("gate_x_m"),
      frame: row.number("frame"),
      time: row.number("time_s", NOT_NEGATIVE),
      ...(share !== undefined && { share }),
    };
  });
}
