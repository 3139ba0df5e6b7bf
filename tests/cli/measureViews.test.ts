import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeEach, describe, expect, it } from "vitest";
import { blademark } from "../helpers/commandLine.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { measureAll } from "../validate/views/driveViews.ts";
import { filmPair, PAIRS } from "../validate/views/family.ts";

const { film, body } = filmPair(PAIRS[0]!, 1)!;
const lengths = Object.entries(body!)
  .map(([name, metres]) => `${name}=${metres}`)
  .join(",");

let views: string[] = [];
let folder = "";
const put = (name: string, text: string) => {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
};
beforeEach(() => {
  folder = temporaryFolder();
  views = film.views.map(({ tables, picture }, v) => {
    const file = (name: keyof typeof tables) => put(`${name}-${v}.csv`, tables[name]);
    return `marks=${file("marks")},events=${file("events")},ice=${file("ice")},picture=${picture.width}x${picture.height},mark-sd=1`;
  });
});
const ran = (...more: string[]) => blademark("measure", ...more);
const both = () => ["--view", views[0]!, "--view", views[1]!, "--body", lengths];

describe("measure --view", () => {
  it("prints what is measured of the tables, with each view's clock, and who gave each value; the same bytes twice", async () => {
    const { status, out } = await ran(...both(), "--json");
    expect(status).toBe(0);
    const json = JSON.parse(out);
    // A frame of an event beyond the marked ones is told of by the command alone, which reads the tables.
    const told = json.warnings.filter(({ code }: { code: string }) => code !== "time-extrapolated");
    expect({ ...json, warnings: told }).toEqual(JSON.parse(JSON.stringify(measureAll(film, body))));
    expect(json.format).toBe("blademark.measure");
    expect(json.views.map((v: { view: number }) => v.view)).toEqual([1, 2]);
    expect(json.views[0].offset_s).toEqual({ value: 0, u95: 0 });
    expect(json.views[0].rate).toEqual({ value: 1, u95: 0 });
    // True from the simulation.
    expect(Math.abs(json.views[1].offset_s.value - film.offsets[1]!)).toBeLessThan(0.02);
    const had = json.strides.filter(
      (s: { stride_width_m: { value: number | null } }) => s.stride_width_m.value !== null,
    );
    expect(had.length).toBeGreaterThan(0);
    for (const { stride_width_m: width } of had) expect([[1], [2], [1, 2]]).toContainEqual(width.views);
    expect((await ran(...both(), "--json")).out).toBe(out);
  });

  it("says the same in words", async () => {
    const { status, out } = await ran(...both());
    expect(status).toBe(0);
    expect(out).toMatch(/View 1: its clock counts/);
    expect(out).toMatch(/View 2: add .*\ss to its clock; it runs .* times as fast; \d+ strides? shared/);
    expect(out).toMatch(/stride width\s+\d\.\d+ ± /);
  });

  it.each([
    ["one view alone", () => ["--view", views[0]!], /two views or more/],
    [
      "an unknown key",
      () => ["--view", `${views[0]},colour=red`, "--view", views[1]!],
      /--view 1 knows marks, events, .* not "colour=red"/,
    ],
    [
      "a key twice",
      () => ["--view", views[0]!, "--view", `${views[1]},mark-sd=2`],
      /--view 2 gives mark-sd twice/,
    ],
    [
      "a missing table",
      () => ["--view", views[0]!.replace(/events=[^,]*,/, ""), "--view", views[1]!],
      /--view 1 needs events=/,
    ],
    [
      "no ice reference",
      () => ["--view", views[0]!, "--view", views[1]!.replace(/ice=[^,]*,/, "")],
      /--view 2 needs exactly one of ice=/,
    ],
    [
      "a bad picture",
      () => ["--view", views[0]!.replace("1920x1080", "wide"), "--view", views[1]!],
      /--view 1: .*WIDTHxHEIGHT/,
    ],
    [
      "a bad lens",
      () => ["--view", `${views[0]},lens=a:b`, "--view", views[1]!],
      /--view 1 lens K1 needs a number/,
    ],
    [
      "an offset without its ±",
      () => ["--view", views[0]!, "--view", `${views[1]},offset=2.4`],
      /--view 2 offset needs SECONDS:U95/,
    ],
    [
      "an offset of the view whose clock counts",
      () => ["--view", `${views[0]},offset=2.4:0.1`, "--view", views[1]!],
      /--view 1 gives offset=, but its own clock counts/,
    ],
    [
      "an option that belongs to one view",
      () => [...both(), "--picture", "1920x1080"],
      /--picture belongs to one view/,
    ],
  ])("refuses %s with a sentence and status 2", async (_, args, sentence) => {
    const { status, out, said } = await ran(...args());
    expect([status, out]).toEqual([2, ""]);
    expect(said).toMatch(sentence);
  });

  it("takes an offset known otherwise, holds the events against it, and says so where they differ", async () => {
    const truth = film.offsets[1]!;
    const given = (offset: string) =>
      ran("--view", views[0]!, "--view", `${views[1]},offset=${offset}`, "--body", lengths, "--json");
    const right = JSON.parse((await given(`${truth}:0.004`)).out);
    const { offset_s: offset, said } = right.views[1];
    expect(said).toMatchObject({ used: true, offset_s: { value: truth, u95: 0.004 } });
    expect(said.events).toBeGreaterThan(3);
    // Surer than what was said and than the events alone.
    expect(offset.u95).toBeLessThan(0.004);
    expect(Math.abs(offset.value - truth)).toBeLessThan(0.006);
    const wrong = await given(`${truth + 0.2}:0.02`);
    expect(JSON.parse(wrong.out).views[1].said.used).toBe(false);
    expect(wrong.said).toMatch(/were said to go together with .* and what was said is not used/);
    const [head, ...rows] = film.views[1]!.tables.events.trimEnd().split("\n");
    const events = put("one.csv", `${[head, rows.find((row) => row.startsWith("blade_off"))].join("\n")}\n`);
    const bench = views[1]!.replace(/events=[^,]*/, `events=${events}`);
    const { status, out } = await ran("--view", views[0]!, "--view", `${bench},offset=${truth}:0.02`);
    expect(status).toBe(0);
    expect(out).toMatch(/As given: add .*\ss; used\./);
  });

  it("does not take one view given twice for two, nor a view without a blade-off", async () => {
    const twice = await ran("--view", views[0]!, "--view", views[0]!);
    expect([twice.status, twice.out]).toEqual([1, ""]);
    expect(twice.said).toMatch(
      /View 2 has the very marks of view 1, to the last digit: it is one view given twice/,
    );
    const rows = film.views[1]!.tables.events.trimEnd().split("\n");
    const arms = put("arms.csv", `${rows.filter((row) => /^(event|arm_)/.test(row)).join("\n")}\n`);
    const bare = await ran(
      "--view",
      views[0]!,
      "--view",
      views[1]!.replace(/events=[^,]*/, `events=${arms}`),
    );
    expect([bare.status, bare.out]).toEqual([1, ""]);
    expect(bare.said).toMatch(
      /no blade-off and no blade-on is picked in view 2\. Pick two there that view 1 shows as well\./,
    );
  });

  it("says why views can't be tied, with status 1", async () => {
    const [head, ...rows] = film.views[1]!.tables.events.trimEnd().split("\n");
    const events = put(
      "one-event.csv",
      `${[head, rows.find((row) => row.startsWith("blade_off"))].join("\n")}\n`,
    );
    const { status, out, said } = await ran(
      "--view",
      views[0]!,
      "--view",
      views[1]!.replace(/events=[^,]*/, `events=${events}`),
    );
    expect([status, out]).toEqual([1, ""]);
    expect(said).toMatch(/View 2 can't be tied to view 1: only one event fits in both, and two are needed/);
  });
});
