import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { csvParse } from "d3-dsv";
import { describe, expect, it } from "vitest";
import { tableFiles } from "../../src/report/tables/studyTables.ts";
import type { Names } from "../../src/study/labels.ts";
import { readStraightLinesCsv } from "../../src/study/linesTable.ts";
import { rowsOfTrial, trialsIn } from "../../src/study/trialRows.ts";
import type { CameraSetup, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { blademark } from "../helpers/commandLine.ts";
import { ARMS, demo } from "../helpers/demoReadings.ts";
import { shaken } from "../helpers/shakenMarks.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";

/* Truth: what the study folder's own measurement says, which knows nothing of tables. */

interface Measured {
  readonly scale: { readonly setup?: object; readonly motion?: object } | null;
  readonly views?: readonly {
    readonly scale: { readonly setup?: object; readonly motion?: object } | null;
  }[];
  readonly strides: readonly { readonly stride_width_m: { readonly value: number | null } }[];
  readonly trial: unknown;
  readonly warnings: unknown;
}

type Trials = readonly { readonly id: string; readonly measure: Measured | null; readonly why?: string }[];

const trialsOf = async (...args: string[]): Promise<Trials> =>
  JSON.parse((await blademark("measure", ...args, "--json")).out).trials;

/** A study on disk, and the tables that `report` would write of it. */
function written(whole: WholeStudy, names: Names = "names"): { study: string; tables: string } {
  const folder = temporaryFolder();
  const [study, tables] = [join(folder, "study"), join(folder, "tables")];
  mkdirSync(join(study, "marks"), { recursive: true });
  mkdirSync(tables);
  writeFileSync(join(study, "study.json"), JSON.stringify(whole.study));
  for (const [id, marks] of Object.entries(whole.marks))
    writeFileSync(join(study, "marks", `${id}.json`), JSON.stringify(marks));
  for (const { name, content } of tableFiles(whole, names, measuredOnce(whole)))
    writeFileSync(join(tables, name), content);
  return { study, tables };
}

/** Two lines as a lens bends them, pressed on a clip. */
const STRAIGHT = [40, 300].map((yPx, k) => ({
  frame: 3 + k,
  points: [60, 340, 640, 940, 1220].map((xPx) => ({ xPx, yPx: yPx - 3.25 * (1 - ((xPx - 640) / 580) ** 2) })),
}));

/** Ice points on one bench clip only, its three others by their backgrounds; two clips shaken; one view listened to. */
function harder(): WholeStudy {
  const { study, marks } = demo(ARMS);
  const bench = ["aino-along-1-bench", "aino-across-1-bench", "signe-along-1-bench", "signe-across-1-bench"];
  const [known, ...others] = bench as [string, ...string[]];
  const like = (k: number) =>
    ({ trial: known, by: "background", dxPx: 0.123 * k, dyPx: -0.071, turnDeg: 0.0021, uPx: 0.3 }) as const;
  const setups: CameraSetup[] = [
    {
      ...{ id: "s1", name: "on the bench", camera: "phone" },
      trials: [{ trial: known }, ...others.map((trial, k) => ({ trial, like: like(k) }))],
    },
    {
      ...{ id: "s2", name: "behind the finish", lens: { k1: 0.001, k2: -0.0004 } },
      trials: [{ trial: "aino-along-1" }, { trial: "aino-across-1" }],
    },
  ];
  const without = (id: string): TrialMarks => ({ ...marks[id]!, iceReference: null });
  const clip = (id: string) => marks[id]!.picture!.clip;
  const [one, two] = ["signe-along-1", "aino-along-1-bench"] as const;
  const heard = "signe-across-1-bench";
  const rate = { value: 1.000012, sd: 0.00004, seconds: 2.1 };
  return {
    study: { ...study, setups },
    marks: {
      ...marks,
      ...Object.fromEntries(others.map((id) => [id, without(id)])),
      "signe-across-1": { ...marks["signe-across-1"]!, straightLines: STRAIGHT },
      [one]: shaken(marks[one]!, clip(one), 5, false),
      [two]: shaken(marks[two]!, clip(two), 6, false),
      [heard]: {
        ...without(heard),
        sound: {
          ...{ clip: clip(heard), with: clip("signe-across-1") },
          lag: { offset: 1.234567, sd: 0.0004, at: 1.1, overlap: 2.2, rate },
        },
      },
    },
  };
}

const CASES: readonly (readonly [string, WholeStudy, number])[] = [
  ["the demo", demo(), 11],
  ["the study about arms, with two views each", demo(ARMS), 4],
  ["with camera set-ups, shaken clips and sound", harder(), 4],
];

describe.each(CASES)("%s", (_, whole, atLeast) => {
  it("is measured from the tables of its report as from its folder, to the last digit", async () => {
    const { study, tables } = written(whole);
    const own = await trialsOf(study);
    const again = await trialsOf("--tables", tables);
    const widths = own.filter((t) => t.measure?.strides.some((s) => s.stride_width_m.value !== null));
    expect(widths.length).toBeGreaterThanOrEqual(atLeast);
    expect(again.map(({ id }) => id).sort()).toEqual(own.map(({ id }) => id).sort());
    for (const { id, measure } of widths) {
      const same = again.find((t) => t.id === id)!.measure;
      expect(same, id).toEqual(measure);
    }
    // Of the others it is said likewise that nothing can be measured.
    const none = (all: Trials) => all.flatMap((t) => (t.measure === null ? [t.id] : [])).sort();
    expect(none(again)).toEqual(none(own));
  });
});

it("straight lines come back as they were pressed", () => {
  const { tables } = written(harder());
  const text = readFileSync(join(tables, "straight_lines.csv"), "utf8");
  expect(readStraightLinesCsv(rowsOfTrial(text, trialsIn(text)[0]!))).toEqual(STRAIGHT);
});

it("what a set-up, motion and views add is in those numbers", async () => {
  const { study } = written(harder());
  const all = await trialsOf(study);
  const scales = all.flatMap((t) => (t.measure?.views ?? []).map((v) => v.scale));
  expect(scales.filter((s) => s?.setup).length).toBeGreaterThanOrEqual(6);
  expect(scales.filter((s) => s?.motion).length).toBeGreaterThanOrEqual(2);
});

it("under codes the tables give the same strides", async () => {
  const { study, tables } = written(harder(), "codes");
  const own = await trialsOf(study);
  const again = await trialsOf("--tables", tables);
  const strides = (all: Trials) => all.flatMap((t) => (t.measure ? [JSON.stringify(t.measure.trial)] : []));
  expect(strides(again)).toHaveLength(strides(own).length);
  expect(strides(again).sort()).toEqual(strides(own).sort());
});

it("a shaken clip as one view of two is measured by --view from the tables as in the study", async () => {
  const { study: arms, marks } = demo(ARMS);
  const [trial, bench] = ["signe-along-1", "signe-along-1-bench"];
  const clip = (id: string) => marks[id]!.picture!.clip;
  const whole: WholeStudy = {
    study: arms,
    marks: { ...marks, [bench]: shaken(marks[bench]!, clip(bench), 7, true) },
  };
  const { study, tables } = written(whole);
  const own: Measured = JSON.parse((await blademark("measure", study, trial, "--json")).out);
  const row = (table: string, column: string, key: string) =>
    csvParse(tableFiles(whole, "names", measuredOnce(whole)).find((f) => f.name === table)!.content).find(
      (r) => r[column] === key,
    )!;
  const [first, second] = [row("trials.csv", "trial", trial), row("views.csv", "view", `${trial}, view 2`)];
  const skater = row("skaters.csv", "skater", first.skater!);
  const body = ["hip_height", "upper_arm", "forearm", "stature"].map((b) => `${b}=${skater[`${b}_m`]}`);
  const view = (prefix: string, key: string, of: typeof first, ...more: string[]) =>
    [
      ...["marks", "events"].map((t) => `${t}=${join(tables, `${prefix}${t}.csv`)}`),
      `ice=${join(tables, `${prefix}ice_points.csv`)}`,
      `picture=${of.picture_width_px}x${of.picture_height_px}`,
      `frame-interval=${of.frame_interval_s}`,
      `mark-sd-stated=${first.mark_sd_stated_px}`,
      ...more,
    ]
      .concat(`rows=${key}`)
      .join(",");
  const keyed = view("view_", `${trial}:2`, second, `motion=${join(tables, "view_motion.csv")}`);
  const { status, out } = await blademark(
    ...["measure", "--json", "--body", body.join(",")],
    ...["--view", view("", trial, first), "--view", keyed],
  );
  expect(status).toBe(0);
  const again: Measured = JSON.parse(out);
  expect(again.views?.[1]?.scale?.motion).toBeDefined();
  expect(again.views?.map((v) => v.scale)).toEqual(own.views?.map((v) => v.scale));
  expect(again.strides).toEqual(own.strides);
  expect(again.trial).toEqual(own.trial);
});

describe("tables that hold no such study", () => {
  const refusal = async (change: (tables: string) => void) => {
    const { tables } = written(harder());
    change(tables);
    return blademark("measure", "--tables", tables, "--trial", "aino-along-1");
  };

  it("are refused by their line, in words", async () => {
    const { status, said } = await refusal((tables) =>
      writeFileSync(
        join(tables, "setups.csv"),
        "setup,trial,view,like_by,like_trial,like_view\nbench,aino-along-1,2,,,\nbench,aino-along-1,2,touch,,\nbench,aino-across-1,3,background,aino-along-1,2\n",
      ),
    );
    expect(status).toBe(1);
    expect(said).toMatch(/Line 3: is the same clip as line 2/);
    expect(said).toMatch(/Line 3: like_by is "touch"; it must be one of said, looked, background/);
    expect(said).toMatch(/Line 4: there is no view 3 of aino-across-1/);
  });

  it("a folder without tables is named", async () => {
    const { status, said } = await blademark("measure", "--tables", temporaryFolder());
    expect(status).toBe(1);
    expect(said).toMatch(/There is no trials\.csv in .*Name the folder tables/);
  });
});
