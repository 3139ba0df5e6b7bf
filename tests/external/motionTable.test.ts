import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { csvParse } from "d3-dsv";
import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { tableFiles } from "../../src/report/tables/studyTables.ts";
import { readMotionCsv } from "../../src/study/motionTable.ts";
import { rowsOfTrial } from "../../src/study/trialRows.ts";
import type { ClipMotion, WholeStudy } from "../../src/study/types.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { blademark } from "../helpers/commandLine.ts";
import { demo } from "../helpers/demoReadings.ts";
import { shaken } from "../helpers/shakenMarks.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";

/* The demo's clips shaken. Truth: what the study folder's own measurement says, which knows nothing of tables. */

const SHAKEN = "aino-open-1";
const KNOCKED = "aino-close-1";
const STOOD = "bea-close-1";

function shakenStudy(): WholeStudy {
  const { study, marks } = demo();
  const clipOf = (id: string) => study.trials.find((t) => t.id === id)!.clip!;
  const stood: ClipMotion = {
    clip: clipOf(STOOD),
    still: true,
    noisePx: 0.04,
    first: 0,
    frames: [],
    bumps: [],
  };
  const { setups: _, ...alone } = study;
  return {
    study: alone,
    marks: {
      ...marks,
      [SHAKEN]: shaken(marks[SHAKEN]!, clipOf(SHAKEN), 3, false),
      [KNOCKED]: shaken(marks[KNOCKED]!, clipOf(KNOCKED), 4, true),
      [STOOD]: { ...marks[STOOD]!, motion: stood },
    },
  };
}

interface Measured {
  readonly scale: { readonly motion?: unknown };
  readonly marking: unknown;
  readonly strides: readonly { readonly stride_width_m: { readonly value: number | null } }[];
  readonly trial: unknown;
  readonly warnings: readonly { readonly code: string }[];
}

describe("a study whose clips' pictures move", () => {
  const whole = shakenStudy();
  const files = tableFiles(whole, "names", measuredOnce(whole));
  const csv = (name: string) => files.find((f) => f.name === `${name}.csv`)!.content;

  it("keeps each clip's motion in its tables, number for number", () => {
    for (const id of [SHAKEN, KNOCKED, STOOD])
      expect(readMotionCsv(rowsOfTrial(csv("motion"), id))).toEqual({ ...whole.marks[id]!.motion, clip: "" });
    const { resources } = JSON.parse(files.find((f) => f.name === "datapackage.json")!.content);
    expect(resources.map((r: { name: string }) => r.name)).toContain("motion");
  });

  it("keeps the lens that bends a clip's picture, and names no column of it where there is none", () => {
    expect(csv("motion").split("\n", 1)[0]).not.toContain("bend");
    const bend = { second: -0.0625, fourth: -0.0119, drift: 0.00004 };
    const own = whole.marks[SHAKEN]!;
    const bent = {
      ...whole,
      marks: { ...whole.marks, [SHAKEN]: { ...own, motion: { ...own.motion!, bend } } },
    };
    const table = tableFiles(bent, "names", measuredOnce(bent)).find((f) => f.name === "motion.csv")!.content;
    expect(readMotionCsv(rowsOfTrial(table, SHAKEN)).bend).toEqual(bend);
    expect("bend" in readMotionCsv(rowsOfTrial(table, KNOCKED))).toBe(false);
    const other = rowsOfTrial(table, SHAKEN).replace(/(-0\.0625,.*\r\n.*)-0\.0625/, "$1-0.0626");
    expect(() => readMotionCsv(other)).toThrow(/bend_second, bend_fourth, bend_drift must be the same/);
  });

  it("measured from its tables gives the numbers of the study, digit for digit", async () => {
    const folder = temporaryFolder();
    const [study, tables] = [join(folder, "study"), join(folder, "tables")];
    mkdirSync(join(study, "marks"), { recursive: true });
    mkdirSync(tables);
    writeFileSync(join(study, "study.json"), JSON.stringify(whole.study));
    for (const [id, marks] of Object.entries(whole.marks))
      writeFileSync(join(study, "marks", `${id}.json`), JSON.stringify(marks));
    for (const { name, content } of files) writeFileSync(join(tables, name), content);
    const trials = csvParse(csv("trials"));
    const skaters = csvParse(csv("skaters"));
    for (const trial of [SHAKEN, KNOCKED, STOOD]) {
      const own = JSON.parse((await blademark("measure", study, trial, "--json")).out) as Measured;
      const row = trials.find((r) => r.trial === trial)!;
      const skater = skaters.find((s) => s.skater === row.skater)!;
      const body = ["hip_height", "upper_arm", "forearm", "stature"].flatMap((name) =>
        skater[`${name}_m`] ? [`${name}=${skater[`${name}_m`]}`] : [],
      );
      const ran = (...more: string[]) =>
        blademark(
          ...["measure", "--json", "--trial", trial, "--marks", join(tables, "marks.csv")],
          ...["--events", join(tables, "events.csv"), "--ice", join(tables, "ice_points.csv")],
          ...["--picture", `${row.picture_width_px}x${row.picture_height_px}`],
          ...["--frame-interval", row.frame_interval_s!, "--speed-factor", row.speed_factor!],
          ...["--body", body.join(","), "--mark-sd-stated", row.mark_sd_stated_px!, ...more],
        );
      const again = JSON.parse((await ran("--motion", join(tables, "motion.csv"))).out) as Measured;
      const widths = own.strides.filter((s) => s.stride_width_m.value !== null);
      expect(widths.length, trial).toBeGreaterThan(1);
      expect(own.scale.motion, trial).toBeDefined();
      expect(again.scale, trial).toEqual(own.scale);
      expect(again.marking, trial).toEqual(own.marking);
      expect(again.strides, trial).toEqual(own.strides);
      expect(again.trial, trial).toEqual(own.trial);
      if (trial === STOOD) continue;
      // Without it the same tables say something else: the motion is what the numbers rest on.
      const without = JSON.parse((await ran()).out) as Measured;
      expect(without.strides, trial).not.toEqual(own.strides);
    }
  });
});

describe("a table of a clip's motion that is no such thing", () => {
  const HEAD = "frame,still,noise_px,m11,m12,m13,m21,m22,m23,m31,m32,u_px,u_turn_px,jump_dx_px,jump_dy_px";
  const MAP = "1,0,0.5,0,1,-0.5,0,0,0.05,0.02,,";
  const problem = (...rows: string[]) => {
    try {
      readMotionCsv([HEAD, ...rows].join("\n"));
    } catch (error) {
      if (error instanceof MeasureError) return error.coach;
      throw error;
    }
    return null;
  };

  it.each([
    [[`0,no,0.06,${MAP}`, `2,no,0.06,${MAP}`], /Line 3: frame is 2 after 0; every frame must have a row/],
    [[`0,no,0.06,${MAP}`, `1,yes,0.06,${MAP}`], /Line 3: still and noise_px must be the same/],
    [["0,no,0.06,1,0,,0,1,-0.5,0,0,0.05,0.02,,"], /Line 2: m13 is blank/],
    [["0,no,0.06,,,,,,,,,,,3,"], /Line 2: jump_dy_px is blank/],
    [["0,no,-1,,,,,,,,,,,,"], /Line 2: noise_px is -1; it must be more than 0/],
    [
      ["4,yes,0.06,,,,,,,,,,,,", "4,yes,0.06,,,,,,,,,,,3,1"],
      /Line 3: frame is 4 after 4; frames must increase/,
    ],
  ])("is refused by its line: %j", (rows, words) => {
    expect(problem(...rows)).toMatch(words);
  });

  it("is read where all is right", () => {
    expect(problem(`0,no,0.06,${MAP}`, "1,no,0.06,,,,,,,,,,,,", `2,no,0.06,${MAP}`)).toBeNull();
  });
});
