/** The tables of `docs/contracts.md`, in and out, under one name. */
export { type BadRow, badTable } from "./csv.ts";
export {
  readIcePointFramesCsv,
  readIcePointsCsv,
  readKnownLengthCsv,
  readRechecksCsv,
  writeIcePointFramesCsv,
  writeIcePointsCsv,
  writeKnownLengthCsv,
} from "./iceTable.ts";
export { readEventsCsv, readMarksCsv, writeEventsCsv, writeMarksCsv } from "./marksTable.ts";
export { readPastedTable, readTimesCsv, type TimeRow, timeRows, writeTimesCsv } from "./timesTable.ts";
