import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { writeEventsCsv, writeIcePointsCsv, writeMarksCsv } from "../../src/study/tables.ts";
import type { IcePoint } from "../../src/study/types.ts";
import { camera, input } from "../helpers/exactTrial.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";

export const points: readonly IcePoint[] =
  input.iceReference?.kind === "ice-points" ? input.iceReference.points : [];

export interface FilmedTables {
  /** `measure` with the tables below, as the words of a command line. */
  readonly base: readonly string[];
  /** The table of ice points. */
  readonly ice: string;
  /** Writes a table beside them, or another one in its place, and says where it is. */
  put(name: string, text: string): string;
}

/** The tables of the exact trial, in a folder that is gone after the test: marks.csv, events.csv, ice.csv. */
export function filmedTables(): FilmedTables {
  const folder = temporaryFolder();
  const put = (name: string, text: string) => {
    writeFileSync(join(folder, name), text);
    return join(folder, name);
  };
  const marks = put("marks.csv", writeMarksCsv(input.marks));
  const events = put("events.csv", writeEventsCsv(input.events));
  const ice = put("ice.csv", writeIcePointsCsv(points));
  const picture = `${camera.width}x${camera.height}`;
  return {
    ice,
    base: ["measure", "--marks", marks, "--events", events, "--ice", ice, "--picture", picture],
    put,
  };
}
