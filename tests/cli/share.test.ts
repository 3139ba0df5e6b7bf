import { cpSync, existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { blademark } from "../helpers/commandLine.ts";
import { sharedFolder } from "../helpers/studyFolder.ts";

const DEMO = join(import.meta.dirname, "../../sample-clips/demo-study");
const folder = sharedFolder();

/** The demo with everything in it that could name somebody. */
const named = join(folder, "named");
cpSync(DEMO, named, { recursive: true });
const file = join(named, "study.json");
const whole = JSON.parse(readFileSync(file, "utf8"));
whole.question = "Does Aino skate faster with open recovery?";
whole.techniques[1].name = "open, as Tove does";
whole.trials[0].note = "Bea fell";
whole.conditions = { ice: "Wren says hard", timedBy: "Signe's mother" };
whole.date = "2027-01-14";
// What we do not know is kept when a study is saved, and never given away.
whole.runOrder = { seed: 4, repeats: 2, coach: "Torvalla" };
whole.coach = whole.lane.coach = whole.techniques[0].coach = "Torvalla";
whole.trials[0].coach = whole.skaters[0].coach = "Torvalla";
whole.techniques[0].asked[0].coach = "Torvalla";
writeFileSync(file, JSON.stringify(whole));

const given = join(folder, "given");
const NAMES: string[] = whole.skaters.map((s: { name: string }) => s.name);

describe("share", () => {
  it("writes no name, clip, mark, note or body into any file, and the study opens", async () => {
    expect((await blademark("share", named, "--out", given)).status).toBe(0);
    const files = readdirSync(given, { recursive: true, encoding: "utf8" }).filter((f) => /\.\w+$/.test(f));
    expect(files).toContain("means.json");
    expect(files.some((f) => f.endsWith(".csv"))).toBe(true);
    for (const name of files) {
      const text = readFileSync(join(given, name), "utf8");
      for (const person of NAMES)
        expect(text, `${name}: ${person}`).not.toMatch(new RegExp(`(?<!\\p{L})${person}(?!\\p{L})`, "iu"));
      for (const word of ["mother", "fell", 'hipHeight":', "xPx", ".mp4", "sha256", "Torvalla"])
        expect(text, name).not.toContain(word);
    }
    expect((await blademark("check", given)).status).toBe(0);
    expect((await blademark("share", named, "--out", given)).status).toBe(1);
  });

  it("pools to what the study itself pools to, for times and for what was measured", async () => {
    const second = join(folder, "second");
    cpSync(DEMO, second, { recursive: true });
    // A name with a comma in it can't be told on the command line.
    for (const study of [named, given]) {
      const at = join(study, "study.json");
      const json = JSON.parse(readFileSync(at, "utf8"));
      json.techniques[1].name = "open recovery";
      writeFileSync(at, JSON.stringify(json));
    }
    const techniques = ["--a", "close recovery", "--b", "open recovery"];
    for (const quantity of ["time_s", "touchdown_to_track_midline_m"]) {
      const pooled = async (study: string) =>
        JSON.parse(
          (await blademark("pool", study, second, ...techniques, "--quantity", quantity, "--codes", "--json"))
            .out,
        );
      const [own, shared] = [await pooled(named), await pooled(given)];
      expect(shared.mean_difference).toEqual(own.mean_difference);
      expect(shared.studies[0].mean_difference).toEqual(own.studies[0].mean_difference);
      expect(shared.studies[0].n).toBeGreaterThan(0);
    }
  });

  it("refuses codes that are names, and gives nobody a code who has none", async () => {
    const odd = join(folder, "odd");
    cpSync(DEMO, odd, { recursive: true });
    const at = join(odd, "study.json");
    const json = JSON.parse(readFileSync(at, "utf8"));
    json.skaters[0].code = "Tove";
    writeFileSync(at, JSON.stringify(json));
    const run = await blademark("share", odd, "--out", join(folder, "odd given"));
    expect([run.status, run.said]).toEqual([1, expect.stringContaining('"Tove"')]);
    expect(existsSync(join(folder, "odd given"))).toBe(false);
    for (const skater of json.skaters) skater.code = "";
    writeFileSync(at, JSON.stringify(json));
    expect((await blademark("share", odd, "--out", join(folder, "odd given"))).status).toBe(0);
    const given = JSON.parse(readFileSync(join(folder, "odd given", "study.json"), "utf8"));
    expect(given.skaters.map((s: { code: string }) => s.code)).toEqual(["", "", "", "", ""]);
  });

  it("is pooled with a club's of the same codes as other people, unless somebody says that codes are people", async () => {
    const pooled = async (...more: string[]) =>
      JSON.parse(
        (
          await blademark(
            "pool",
            given,
            DEMO,
            "--a",
            "close recovery",
            "--b",
            "open recovery",
            "--json",
            ...more,
          )
        ).out,
      );
    const [apart, together] = [await pooled(), await pooled("--codes")];
    expect([apart.skaters, together.skaters]).toEqual([10, 5]);
    expect(apart.warnings).toMatchObject([
      // It is the very evening that was shared.
      { code: "same-evening", text: expect.stringContaining("20 of 20") },
      { code: "same-code", text: expect.stringContaining("--codes") },
    ]);
    expect(together.warnings).toMatchObject([{ code: "same-evening" }]);
  });

  it("refuses means that are damaged, in words", async () => {
    const broken = join(folder, "broken");
    cpSync(given, broken, { recursive: true });
    writeFileSync(join(broken, "means.json"), "{");
    const run = await blademark("pool", broken, DEMO, "--a", "close recovery", "--b", "open recovery");
    expect(run.status).toBe(1);
    expect(run.said).toContain("means.json");
  });
});

describe("next", () => {
  it("keeps who and what, and nothing of the evening itself; everybody skates each technique as often as before", async () => {
    const to = join(folder, "next");
    expect((await blademark("next", named, to)).status).toBe(0);
    const study = JSON.parse(readFileSync(join(to, "study.json"), "utf8"));
    const before = JSON.parse(readFileSync(file, "utf8"));
    for (const part of ["skaters", "techniques", "lane", "worthwhile"])
      expect(study[part]).toEqual(before[part]);
    expect(study).toMatchObject({ clips: [] });
    expect(study.date).toBeUndefined();
    expect(study.conditions).toBeUndefined();
    const count = (of: typeof whole) =>
      of.trials.map((t: { skater: string; technique: string }) => `${t.skater} ${t.technique}`).sort();
    expect(count(study)).toEqual(count(whole));
    for (const t of study.trials) expect([t.time, t.clip, t.note]).toEqual([null, undefined, undefined]);
    expect(study.runOrder.seed).not.toBe(whole.runOrder?.seed);
    expect(readdirSync(to)).toEqual(["study.json"]);
    expect((await blademark("next", named, to)).status).toBe(1);
  });
});
