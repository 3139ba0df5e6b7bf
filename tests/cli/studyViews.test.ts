import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { beforeEach, describe, expect, it } from "vitest";
import type { ClipLink, IceReference, Study, TrialMarks } from "../../src/study/types.ts";
import { blademark } from "../helpers/commandLine.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { inputOf, measureAll } from "../validate/views/driveViews.ts";
import { filmPair, PAIRS } from "../validate/views/family.ts";
import type { FilmedView } from "../validate/views/filmViews.ts";

/*
 * A study whose trial has two measured views and a clip of the clock, from the independent simulation of tests/validate: what
 * the study says must be what the tables of the same two views say, by the command that reads these.
 */

const { film, body } = filmPair(PAIRS[0]!, 1)!;
const own = {
  ...(body!.hip_height !== undefined && { hipHeight: body!.hip_height }),
  upperArm: body!.upper_arm!,
  forearm: body!.forearm!,
};

function marksOf(id: string, clip: string, view: FilmedView): TrialMarks {
  const { marks, events, iceReference, picture } = inputOf(view, body, 1);
  return {
    ...{ format: "blademark.marks", version: 1, trial: id },
    picture: { clip, ...picture, frameInterval: 1 / view.fps },
    ...{ iceReference: iceReference as IceReference, events, marks },
  };
}

const link = (id: string): ClipLink => ({ id, name: `${id}.mp4`, path: `clips/${id}.mp4`, bytes: 1 });
const clips = ["front", "bench", "clock"].map(link);
const study: Study = {
  ...STUDY,
  markSdPx: 1,
  skaters: [{ ...STUDY.skaters[0]!, body: own }],
  clips,
  trials: [
    {
      ...STUDY.trials[0]!,
      clip: "front",
      clips: [
        { clip: "bench", role: "view", id: "t1-bench" },
        { clip: "clock", role: "clock", frame: 12, shows: 4.75 },
      ],
    },
    STUDY.trials[1]!,
  ],
};
const [front, bench] = film.views as [FilmedView, FilmedView];
const both = [marksOf("t1", "front", front), marksOf("t1-bench", "bench", bench)];

let folder = "";
beforeEach(() => {
  folder = studyFolder(study, both);
});
const measured = async (...more: string[]) =>
  JSON.parse((await blademark("measure", folder, ...more, "--json")).out);
const rounded = (json: unknown) =>
  JSON.parse(JSON.stringify(json, (_, v) => (typeof v === "number" ? Number(v.toFixed(6)) : v)));
/** What only a study says: of its other trials, and of the clip's time. */
const ofViews = (warnings: readonly { readonly code: string }[]) =>
  warnings.filter(({ code }) => code !== "pairing-not-checked");

describe("a study's trial with two measured views", () => {
  it("measures as the same two views by their tables", async () => {
    const said = await measured("t1");
    const byTables = JSON.parse(JSON.stringify(measureAll(film, body)));
    // A study's stated SD gives way to repeat marks, a command's does not; there are none here.
    // A study knows the time between frames, tables tell it to a millionth.
    for (const part of ["strides", "trial", "views"])
      expect(rounded(said[part])).toEqual(rounded(byTables[part]));
    expect(ofViews(said.warnings)).toEqual(ofViews(byTables.warnings));
    const all = await measured();
    expect(all.trials[0]).toEqual({ id: "t1", measure: said });
  });

  it("measures a further view alone by its own id, and the first alone where nothing is marked on the other", async () => {
    const alone = await measured("t1-bench");
    expect(alone.views).toBeUndefined();
    expect(alone.strides).toHaveLength(bench.picked.size);
    folder = studyFolder(study, both.slice(0, 1));
    const first = await measured("t1");
    expect(first.views).toBeUndefined();
    expect(first.strides).toHaveLength(front.picked.size);
  });

  it("measures the first alone and says so where the two can't be tied", async () => {
    const [one, two] = both as [TrialMarks, TrialMarks];
    const apart = two.events.filter(({ event }) => event !== "blade_off").slice(0, 2);
    folder = studyFolder(study, [one, { ...two, events: apart }]);
    const said = await measured("t1");
    expect(said.views).toBeUndefined();
    expect(said.warnings.map((w: { code: string }) => w.code)).toContain("views-not-tied");
    expect(said.strides).toHaveLength(front.picked.size);
  });

  it("ties views of which one event is shared by what was heard of just these two clips", async () => {
    const [one, two] = both as [TrialMarks, TrialMarks];
    const single = two.events.filter(({ event }) => event.startsWith("blade")).slice(2, 3);
    const lag = { offset: film.offsets[1]! + 0.03, sd: 0.001, at: 4, overlap: 8, rate: null };
    const heard = (sound: TrialMarks["sound"]) => {
      folder = studyFolder(study, [one, { ...two, events: single, ...(sound && { sound }) }]);
      return measured("t1");
    };
    expect((await heard(undefined)).views).toBeUndefined();
    const tied = (await heard({ clip: "bench", with: "front", lag })).views[1];
    expect(tied.sound).toMatchObject({ offset_s: { value: lag.offset }, events: 1, used: true });
    // A frame of 120 a second, one off now and then.
    expect(Math.abs(tied.offset_s.value - film.offsets[1]!)).toBeLessThan(0.03);
    expect((await heard({ clip: "clock", with: "front", lag })).views).toBeUndefined();
    expect((await heard({ clip: "bench", with: "clock", lag })).views).toBeUndefined();
    const deaf = await heard({
      clip: "bench",
      with: "front",
      lag: null,
      why: "the sound of the second is silence",
    });
    expect(deaf.warnings[0].text).toMatch(
      /The clips' sound does not tell either: the sound of the second is silence\./,
    );
  });

  it("is found healthy, clip for clip, and marks of both views are its own", async () => {
    const { out } = await blademark("check", folder);
    expect(out).not.toMatch(/no-trial|Marks of a trial that is not/);
    // The clips are not really there.
    for (const { name } of clips) expect(out).toContain(name);
  });

  it("gives a report that says what sound does for a clock, and says nothing of it where nobody listened", async () => {
    const viewsOf = async (sound: TrialMarks["sound"]) => {
      folder = studyFolder(study, [both[0]!, { ...both[1]!, ...(sound && { sound }) }]);
      const to = join(temporaryFolder(), "report");
      await blademark("report", folder, "--out", to);
      const page = readdirSync(to).find((name) => name.endsWith(".html"))!;
      const rows = readFileSync(join(to, "tables", "views.csv"), "utf8")
        .trimEnd()
        .split(/\r?\n/);
      return { rows, words: readFileSync(join(to, page), "utf8") };
    };
    const without = await viewsOf(undefined);
    expect(without.rows[0]).not.toMatch(/sound/);
    expect(without.words).not.toMatch(/by sound/);
    const lag = { offset: film.offsets[1]! + 0.03, sd: 0.001, at: 4, overlap: 8, rate: null };
    const heard = await viewsOf({ clip: "bench", with: "front", lag });
    expect(heard.rows[0]).toMatch(/,sound_offset_s,sound_offset_s_u95,sound_at_s,sound_events,sound_used$/);
    expect(heard.rows[1]).toMatch(/,,,,,$/);
    const [, offset, u95] = /,(-?[\d.]+),([\d.]+),4,\d+,yes$/.exec(heard.rows[2]!)!;
    expect(Math.abs(Number(offset) - lag.offset)).toBeLessThan(1e-6);
    expect(Number(u95)).toBeGreaterThan(0.069);
    expect(heard.words).toMatch(/added to its clock, by sound as well/);
  });

  it("gives a report whose tables say which views gave each number, and hold the marks of each", async () => {
    const to = join(temporaryFolder(), "report");
    await blademark("report", folder, "--out", to);
    const tables = join(to, "tables");
    const rows = (name: string) =>
      readFileSync(join(tables, `${name}.csv`), "utf8")
        .trimEnd()
        .split(/\r?\n/);
    expect(readdirSync(tables)).toContain("view_marks.csv");
    expect(rows("views")).toHaveLength(1 + 2);
    expect(rows("given").some((row) => /,stride_width_m,1 2$/.test(row))).toBe(true);
    expect(rows("marks")).toHaveLength(1 + both[0]!.marks.length);
    expect(rows("view_marks")).toHaveLength(1 + both[1]!.marks.length);
    const page = readdirSync(to).find((name) => name.endsWith(".html"))!;
    expect(readFileSync(join(to, page), "utf8")).toMatch(/view 2/);
    // 4.75 was read off, 5.12 is typed: both stand there.
    expect(readFileSync(join(to, page), "utf8")).toMatch(
      /the display shows 4\.75\ss in frame 12 of its clip, unlike the time typed/,
    );
  });
});
