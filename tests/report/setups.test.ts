import { expect, it } from "vitest";
import { planBase } from "../../src/report/still/planStill.ts";
import { studyReport } from "../../src/report/studyReport.ts";
import { studyTables } from "../../src/report/tables/studyTables.ts";
import type { LikeClip, WholeStudy } from "../../src/study/types.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { demo } from "../helpers/demoReadings.ts";

const [ONE, TWO, THREE] = ["aino-close-1", "aino-open-1", "bea-close-1"];

/** Three trials of the demo in one set-up, ice points on the first only: one tied by its background, one by word. */
function joined(): WholeStudy {
  const { study, marks } = demo();
  const found: LikeClip = { trial: ONE, by: "background", dxPx: 4.5, dyPx: -1.5, turnDeg: 0.02, uPx: 0.1 };
  const setups = [
    {
      id: "c1",
      name: "Aino's corner",
      trials: [
        { trial: ONE },
        { trial: TWO, like: found },
        { trial: THREE, like: { trial: ONE, by: "said" as const } },
      ],
    },
  ];
  const trials = study.trials.filter((t) => [ONE, TWO, THREE].includes(t.id));
  const bare = (id: string) => ({ ...marks[id]!, iceReference: null });
  return {
    study: { ...study, trials, setups },
    marks: { [ONE]: marks[ONE]!, [TWO]: bare(TWO), [THREE]: bare(THREE) },
  };
}

it("the report and its tables say which clips stand on whose ice points, and how each was turned, with its ±", () => {
  const whole = joined();
  const readingOf = measuredOnce(whole);
  const table = studyTables(whole, "names", readingOf).find((t) => t.name === "setups")!;
  const rows = table.rows.map((row) =>
    Object.fromEntries(table.columns.map(({ name }, k) => [name, row[k]])),
  );
  expect(rows.map((r) => [r.setup, r.trial, r.view, r.by, r.points])).toEqual([
    ["Aino's corner", ONE, 1, "points", 10],
    ["Aino's corner", TWO, 1, "background", 0],
    ["Aino's corner", THREE, 1, "said", 0],
  ]);
  // What the background was said to show, known to 0.1 px (SD), and nothing else speaks of it.
  expect(rows[1]!.dx_px).toBeCloseTo(4.5, 1);
  expect(rows[1]!.dx_px_u95).toBeCloseTo(0.2, 1);
  expect(rows[1]!.turn_deg).toBeCloseTo(0.02, 2);
  expect([rows[2]!.dx_px, rows[2]!.dx_px_u95]).toEqual([null, null]);
  const scales = (names: "names" | "codes") =>
    studyReport(whole, names, readingOf).marking.map((m) => m.scale);
  const [first, second, third] = scales("names");
  expect(first).toMatch(
    /camera set-up “Aino's corner”, 0 of the points on other clips, tied by its own ice points$/,
  );
  expect(second).toMatch(
    /10 of the points on other clips, tied by its background; its picture lies 4\.5 px right and 1\.5 px up \(± 0\.2 px\) against that of Aino, close/,
  );
  expect(third).toMatch(/tied by somebody's word only, so nothing is measured in metres$/);
  const coded = JSON.stringify([
    scales("codes"),
    studyTables(whole, "codes", readingOf).find((t) => t.name === "setups"),
  ]);
  expect(coded).not.toMatch(/aino/i);
});

it("a still of a clip tied by word alone has no metre grid", () => {
  const whole = joined();
  const hasScale = (trial: string) => planBase(whole, trial)?.scale !== null;
  expect([hasScale(TWO), hasScale(THREE)]).toEqual([true, false]);
});

it("a study without set-ups has no such table", () => {
  const { study, marks } = joined();
  const whole = { study: { ...study, setups: [], trials: [] }, marks };
  expect(studyTables(whole, "names", measuredOnce(whole)).some((t) => t.name === "setups")).toBe(false);
});
