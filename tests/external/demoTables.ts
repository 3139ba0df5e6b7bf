import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll } from "vitest";
import { tableFiles } from "../../src/report/tables/studyTables.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { demo } from "../helpers/demoReadings.ts";
import { sharedFolder } from "../helpers/studyFolder.ts";

interface Field {
  readonly name: string;
  readonly type: string;
  readonly unit?: string;
}

interface Descriptor {
  readonly resources: readonly {
    readonly name: string;
    readonly path: string;
    readonly schema: { readonly fields: readonly Field[] };
  }[];
}

export const whole = demo();
/** A note that a table must quote, and a sheet must not run. */
export const odd = '=HYPERLINK("x"), said "hm",\r\nüñí';
const study = {
  ...whole.study,
  trials: whole.study.trials.map((t, k) => (k === 1 ? { ...t, note: odd } : t)),
};
export const asked = whole.marks["aino-open-1"]!;
/** The demo has none of these; made up here. */
const marks = {
  ...whole.marks,
  "aino-open-1": {
    ...asked,
    notSeen: [{ frame: asked.events[0]!.frame, point: "wrist", side: "left" }],
    gatePassings: [{ gate: 0, frame: 57, time: 0.95 }],
    iceReference: {
      ...asked.iceReference!,
      rechecks: [{ frame: 300, label: "P1", xPx: 825.25, yPx: 195.5 }],
    },
  },
} as WholeStudy["marks"];
export const readingOf = measuredOnce(whole);
const files = tableFiles({ study, marks }, "names", readingOf);
export const descriptor = JSON.parse(files.find((f) => f.name === "datapackage.json")!.content) as Descriptor;
/** The text of the table of that name. */
export const csv = (name: string) => files.find((f) => f.name === `${name}.csv`)!.content;

/** The tables on the disk for all tests of a file, called for beside its imports; gone after the last of them. */
export function writtenTables(): string {
  const folder = sharedFolder();
  beforeAll(() => {
    for (const { name, content } of files) writeFileSync(join(folder, name), content);
  });
  return folder;
}
