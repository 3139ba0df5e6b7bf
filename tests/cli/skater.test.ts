import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, it } from "vitest";
import { blademark } from "../helpers/commandLine.ts";

const DEMO = join(import.meta.dirname, "../../sample-clips/demo-study");
const folder = mkdtempSync(join(tmpdir(), "blademark-skater-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The demo without its marks as another evening: measuring takes long and is tested elsewhere. */
function evening(name: string, date: string, later: number): string {
  const to = join(folder, name);
  cpSync(DEMO, to, { recursive: true });
  if (name !== "first") rmSync(join(to, "marks"), { recursive: true });
  const file = join(to, "study.json");
  const study = JSON.parse(readFileSync(file, "utf8"));
  study.date = date;
  for (const t of study.trials) if (t.time !== null) t.time = Math.round((t.time + later) * 100) / 100;
  writeFileSync(file, JSON.stringify(study));
  return to;
}

it("skater: shows one through the season, by code, and a page without names", async () => {
  const studies = [
    evening("third", "2027-03-02", 0.3),
    evening("first", "2027-01-01", 0),
    evening("second", "2027-01-31", 0.15),
  ];
  const { skaters } = JSON.parse(readFileSync(join(DEMO, "study.json"), "utf8"));
  const [{ code, name }] = skaters;
  const page = join(folder, "page.html");
  const run = await blademark("skater", code, ...studies, "--json", "--out", page);
  expect(run.status).toBe(0);
  const json = JSON.parse(run.out);
  expect(json).toMatchObject({ format: "blademark.skater", version: 1, code });
  expect(json.studies.map((s: { study: string }) => s.study)).toEqual(["first", "second", "third"]);
  const times = json.quantities.filter((q: { quantity: string }) => q.quantity === "time_s");
  expect(times).toHaveLength(2);
  for (const { trend } of times) {
    // By hand: 0.15 s in each 30 days, the same for every trial.
    expect(trend.value).toBeCloseTo(0.15, 6);
    expect(trend.df).toBe(1);
  }
  expect(
    json.quantities.some((q: { quantity: string }) => q.quantity === "touchdown_to_track_midline_m"),
  ).toBe(true);
  const html = readFileSync(page, "utf8");
  expect(html).toContain(`${code} through the season`);
  for (const s of skaters) expect(html).not.toMatch(new RegExp(`(?<!\\p{L})${s.name}(?!\\p{L})`, "u"));
  expect((await blademark("skater", "nobody", studies[0]!)).status).toBe(1);
  expect((await blademark("skater", name, studies[0]!, studies[0]!)).status).toBe(2);
});
