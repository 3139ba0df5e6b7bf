import { cpSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { PoolJson } from "../../src/pool/poolJson.ts";
import type { Study } from "../../src/study/types.ts";
import { blademark } from "../helpers/commandLine.ts";
import { sharedFolder } from "../helpers/studyFolder.ts";

/** The study file, as freely as a test changes it. */
type Plain = { -readonly [K in keyof Study]: Mutable<Study[K]> };
type Mutable<T> = T extends readonly (infer E)[]
  ? { -readonly [K in keyof E]: E[K] }[]
  : { -readonly [K in keyof T]: T[K] };

const DEMO = join(import.meta.dirname, "../../sample-clips/demo-study");
const folder = sharedFolder();

/** The demo as another evening: other times, other people where said. */
function evening(name: string, change: (study: Plain) => void): string {
  const to = join(folder, name);
  mkdirSync(to, { recursive: true });
  cpSync(DEMO, to, { recursive: true });
  const file = join(to, "study.json");
  const study: Plain = JSON.parse(readFileSync(file, "utf8"));
  study.clips = [];
  for (const trial of study.trials) delete trial.clip;
  change(study);
  writeFileSync(file, JSON.stringify(study));
  return to;
}

const first = evening("first", () => undefined);
const second = evening("second", (study) => {
  for (const t of study.trials)
    if (t.time !== null) t.time = Math.round((t.time + (t.technique === "open" ? 0.05 : 0)) * 100) / 100;
  for (const s of study.skaters) s.name = `Other ${s.name}`;
});
const third = evening("third", (study) => {
  study.techniques[0]!.name = "to the midline";
});

describe("pool", () => {
  it("makes one answer of evenings: their own means, the mean between them, who came again", async () => {
    const run = await blademark(
      "pool",
      first,
      second,
      "--a",
      "close recovery",
      "--b",
      "open recovery",
      "--json",
    );
    expect(run.status).toBe(0);
    const json: PoolJson = JSON.parse(run.out);
    expect(json).toMatchObject({
      format: "blademark.pool",
      version: 1,
      quantity: "time_s",
      skaters: 10,
      trials: 40,
    });
    expect(json.studies.map((s) => [s.study, s.n])).toEqual([
      ["first", 5],
      ["second", 5],
    ]);
    // Skaters' means of the demo's own table: plain arithmetic.
    const study: Plain = JSON.parse(readFileSync(join(DEMO, "study.json"), "utf8"));
    const mean = (skater: string, technique: string) => {
      const times = study.trials
        .filter((t) => t.skater === skater && t.technique === technique && t.valid)
        .map((t) => t.time as number);
      return times.reduce((a: number, b: number) => a + b, 0) / times.length;
    };
    const differences = study.skaters.map(
      (s) =>
        mean(s.id, study.techniques.find((t) => t.name === "open recovery")!.id) -
        mean(s.id, study.techniques.find((t) => t.name === "close recovery")!.id),
    );
    const own = differences.reduce((a: number, b: number) => a + b, 0) / differences.length;
    expect(json.studies[0]!.mean_difference.value!).toBeCloseTo(own, 9);
    expect(json.mean_difference.value!).toBeGreaterThanOrEqual(
      Math.min(own, json.studies[1]!.mean_difference.value!) - 1e-9,
    );
    expect(json.mean_difference.value!).toBeLessThanOrEqual(
      Math.max(own, json.studies[1]!.mean_difference.value!) + 1e-9,
    );
    expect(json.new_study).toMatchObject({ value: null, why: expect.stringContaining("three") });
    expect(json.warnings.map((w) => w.code)).toContain("same-code");
    const byCode = JSON.parse(
      (
        await blademark(
          "pool",
          first,
          second,
          "--a",
          "close recovery",
          "--b",
          "open recovery",
          "--codes",
          "--json",
        )
      ).out,
    );
    expect(byCode.skaters).toBe(5);
  });

  it("judges by a wider interval where the plan says more looks, and says of one technique always skated last that nobody can tell", async () => {
    const ask = ["--a", "close recovery", "--b", "open recovery", "--json"];
    const json = async (...more: string[]): Promise<PoolJson> =>
      JSON.parse((await blademark("pool", first, second, last, ...ask, ...more)).out);
    const last = evening("last", () => undefined);
    const [once, twice] = [await json(), await json("--looks", "2")];
    const half = (p: PoolJson) => (p.looks_interval![1] - p.looks_interval![0]) / 2;
    // R: qt(0.975, 2) = 4.302653, qt(1 - 0.025 / 2, 2) = 6.205347
    expect(half(twice) / half(once)).toBeCloseTo(6.205347 / 4.302653, 5);
    expect(once.mean_difference).toMatchObject({ ci95: once.looks_interval });
    expect([once.looks, once.order!.kind]).toEqual([1, "balanced"]);
    const oneSided = [1, 2, 3].map((k) =>
      evening(`one-sided ${k}`, (study) => {
        for (const t of study.trials) {
          t.order += t.technique === "open" ? 100 : 0;
          if (t.technique === "open" && t.time !== null) t.time -= 0.5;
        }
      }),
    );
    const run = await blademark("pool", ...oneSided, ...ask.slice(0, 4));
    expect(run.out).toContain(
      "But open recovery was always skated later, and nothing parts it from the order.",
    );
    const balanced = [1, 2, 3, 4].map((k) =>
      evening(`balanced ${k}`, (study) => {
        for (const t of study.trials) if (t.technique === "open" && t.time !== null) t.time -= 0.5 + 0.01 * k;
      }),
    );
    const price = "That holds for one look";
    expect((await blademark("pool", ...balanced, ...ask.slice(0, 4))).out).toContain(price);
    expect((await blademark("pool", ...balanced, ...ask.slice(0, 4), "--looks", "2")).out).not.toContain(
      price,
    );
    expect((await blademark("pool", first, second, ...ask, "--looks", "0")).status).toBe(2);
  });

  it("takes another name for the same technique only from whoever asks, and refuses what can't be pooled", async () => {
    const refused = await blademark("pool", first, third, "--a", "close recovery", "--b", "open recovery");
    expect(refused.status).toBe(1);
    expect(refused.said).toContain('third has no technique "close recovery". It has: "to the midline"');
    const named = await blademark(
      "pool",
      first,
      second,
      third,
      "--a",
      "close recovery,to the midline",
      "--b",
      "open recovery",
    );
    expect(named.status).toBe(0);
    expect(named.out).toContain("(10 skaters, 3 evenings)");
    expect(named.out).toContain("without second");
    const other = evening("other", (s) => {
      s.lane.distance = 25;
      s.lane.gates = [0, 25];
    });
    const far = await blademark("pool", first, other, "--a", "close recovery", "--b", "open recovery");
    expect(far.status).toBe(1);
    expect(far.said).toContain("25 m");
    expect((await blademark("pool", first, first, "--a", "x", "--b", "y")).status).toBe(2);
  });
});
