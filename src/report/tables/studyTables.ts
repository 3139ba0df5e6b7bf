import { writeTable } from "../../study/csv.ts";
import { type Names, shownStudy, typedText } from "../../study/labels.ts";
import type { WholeStudy } from "../../study/types.ts";
import { withClipTimes } from "../../trials/clipTime.ts";
import { countedReadings } from "../../trials/countedReadings.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import { comparisonTables } from "./comparisonTables.ts";
import { dataPackage } from "./dataPackage.ts";
import { trialKeys } from "./keys.ts";
import { manyTables } from "./manyTables.ts";
import { markedTables } from "./markedTables.ts";
import { markingTables } from "./markingTables.ts";
import { refusedTable, stridesTable, trialsTable } from "./measuredTables.ts";
import { skatersTable, techniquesTable } from "./peopleTables.ts";
import { REPEAT_R } from "./repeat/repeatR.ts";
import { setupsTable } from "./setupsTable.ts";
import { sidesTable } from "./sidesTable.ts";
import { studyTable } from "./studyTable.ts";
import type { Cell, Table } from "./table.ts";
import { viewsTables } from "./viewsTables.ts";

/** Every table of a study. Under codes no name of a skater or observer, and no name of a clip, is in them. */
export function studyTables(given: WholeStudy, names: Names, readingOf: ReadingOf): Table[] {
  const whole = withClipTimes(shownStudy(given, names));
  const keys = trialKeys(whole.study, names);
  const counted = countedReadings(whole, readingOf);
  return [
    studyTable(whole, names),
    skatersTable(whole, names),
    techniquesTable(whole, names),
    trialsTable(whole, names, counted, keys),
    stridesTable(whole, readingOf, keys),
    ...comparisonTables(whole, names, counted),
    ...manyTables(whole, names, counted),
    sidesTable(whole, names, counted),
    refusedTable(whole, counted, keys),
    ...markingTables(whole, keys),
    ...markedTables(whole, names, keys),
    ...viewsTables(whole, names, counted, keys),
    ...setupsTable(whole, names, readingOf, keys),
  ];
}

/** The tables as files of one folder: RFC 4180 CSV and the `datapackage.json` that says what is in them. */
export function tableFiles(
  whole: WholeStudy,
  names: Names,
  readingOf: ReadingOf,
): { readonly name: string; readonly content: string }[] {
  const tables = studyTables(whole, names, readingOf);
  const title = typedText(whole.study, whole.study.question, names) || "A study of skating strides";
  return [
    ...tables.map((t) => ({ name: `${t.name}.csv`, content: csvText(t) })),
    { name: "repeat.R", content: REPEAT_R },
    { name: "datapackage.json", content: `${JSON.stringify(dataPackage(tables, title), null, 2)}\n` },
  ];
}

function csvText({ columns, rows }: Table): string {
  const cell = (value: Cell) => (typeof value === "boolean" ? (value ? "yes" : "no") : value);
  return writeTable(
    columns.map((c) => c.name),
    rows.map((row) => row.map(cell)),
  );
}
