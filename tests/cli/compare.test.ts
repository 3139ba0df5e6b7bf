import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { blademark } from "../helpers/commandLine.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";

const DEMO = fileURLToPath(new URL("../../sample-clips/demo-study", import.meta.url));
const ARMS = fileURLToPath(new URL("../../sample-clips/arms-study", import.meta.url));

// Eight skaters, two techniques, three trials each: docs/references.md 2, "made-up nested design" [computed: R].
const A =
  "4.41 4.44 4.39 / 4.62 4.58 4.60 / 4.25 4.28 4.24 / 4.80 4.86 4.79 / 4.51 4.47 4.50 / 4.37 4.40 4.41 / 4.69 4.66 4.72 / 4.55 4.52 4.56";
const B =
  "4.36 4.33 4.37 / 4.60 4.61 4.56 / 4.17 4.20 4.18 / 4.81 4.77 4.80 / 4.41 4.44 4.43 / 4.38 4.35 4.36 / 4.58 4.62 4.60 / 4.53 4.55 4.50";

function rows(technique: string, times: string, firstOrder: number): string[] {
  return times
    .split(" / ")
    .flatMap((trials, skater) =>
      trials
        .split(" ")
        .map((time, i) => `S${skater + 1},${technique},${i + 1},${firstOrder + 2 * i},${time}`),
    );
}

function table(lines: readonly string[]): string {
  const file = join(temporaryFolder(), "times.csv");
  writeFileSync(file, ["skater,technique,repeat,order,time_s", ...lines].join("\n"));
  return file;
}

describe("compare", () => {
  it("compares skater means, never trials, with the values R gives", async () => {
    const file = table([...rows("narrow", A, 1), ...rows("wide", B, 2)]);
    const { status, out } = await blademark(
      "compare",
      "--times",
      file,
      "--a",
      "narrow",
      "--b",
      "wide",
      "--json",
    );
    expect(status).toBe(0);
    expect(out.trimEnd().split("\n")).toHaveLength(1);
    const json = JSON.parse(out);
    expect(json).toMatchObject({
      format: "blademark.compare",
      version: 1,
      a: "narrow",
      b: "wide",
      quantity: "time_s",
      n: 8,
      df: 7,
    });
    expect(json.pairs).toHaveLength(8);
    expect(json.pairs[0]).toMatchObject({ skater: "S1", n_a: 3, n_b: 3 });
    // [computed: R] paired t on skater means, B - A
    expect(json.mean_difference.value).toBeCloseTo(-0.04625, 9);
    expect(json.mean_difference.ci95[0]).toBeCloseTo(-0.071194793, 8);
    expect(json.mean_difference.ci95[1]).toBeCloseTo(-0.021305207, 8);
    expect(json.sd_of_differences).toBeCloseTo(0.029837522983, 10);
    expect(json.t).toBeCloseTo(-4.38423640571, 8);
    expect(json.p_t).toBeCloseTo(0.003217852887, 9);
    expect(json.p_sign_flip).toBeCloseTo(2 / 256, 12);
    expect(json.d_z).toBeCloseTo(-1.550061646, 8);
  });

  it("says it in words, differences with unit and uncertainty", async () => {
    const file = table([...rows("narrow", A, 1), ...rows("wide", B, 2)]);
    const { status, out } = await blademark("compare", "--times", file, "--a", "narrow", "--b", "wide");
    expect(status).toBe(0);
    expect(out).toMatch(/^Wide was faster, by 0\.046\ss on average(;| \(all eight)/);
    // S1: (4.36 + 4.33 + 4.37)/3 - (4.41 + 4.44 + 4.39)/3 = -0.060
    expect(out).toMatch(/S1 +4\.413\ss \(3\) +4\.353\ss \(3\) +−0\.060 ± 0\.0\d+\ss/);
  });

  it("answers 1 for a technique that is not there, naming those that are", async () => {
    const file = table(rows("narrow", A, 1));
    const { status, out, said } = await blademark("compare", "--times", file, "--a", "narrow", "--b", "wide");
    expect({ status, out }).toEqual({ status: 1, out: "" });
    expect(said).toMatch(/no technique "wide".*"narrow"/);
  });

  it("answers 1 when no skater has both", async () => {
    const file = table(["S1,narrow,1,1,4.5", "S2,wide,1,1,4.4"]);
    const { status, said } = await blademark("compare", "--times", file, "--a", "narrow", "--b", "wide");
    expect(status).toBe(1);
    expect(said).toMatch(/S1 has no usable trial with wide/);
  });

  it("reports bad rows by line number and compares nothing", async () => {
    const file = table(["S1,narrow,1,1,4.5", "S1,wide,1,2,fast", "S1,wide,0,2,4.4"]);
    const { status, out, said } = await blademark(
      "compare",
      "--times",
      file,
      "--a",
      "narrow",
      "--b",
      "wide",
      "--json",
    );
    expect({ status, out }).toEqual({ status: 1, out: "" });
    expect(said).toMatch(/Line 3: time_s.*Line 4: repeat/);
  });

  it("compares the two techniques of a study by their names", async () => {
    const skaters = ["aino", "bea"].map((id) => ({ id, name: id.toUpperCase(), code: id, body: {} }));
    const trials = skaters.flatMap(({ id }, i) => [
      {
        id: `${id}-c`,
        skater: id,
        technique: "close",
        repeat: 1,
        order: 2 * i + 1,
        time: 5.2,
        valid: true,
        speedFactor: 1,
      },
      {
        id: `${id}-o`,
        skater: id,
        technique: "open",
        repeat: 1,
        order: 2 * i + 2,
        time: 5.0 - 0.1 * i,
        valid: true,
        speedFactor: 1,
      },
    ]);
    const folder = studyFolder({ ...STUDY, skaters, trials }, []);
    const json = JSON.parse((await blademark("compare", folder, "--json")).out);
    expect(json).toMatchObject({ a: "close recovery", b: "open recovery", n: 2 });
    // (5.0 - 5.2 + 4.9 - 5.2)/2 = -0.25
    expect(json.mean_difference.value).toBeCloseTo(-0.25, 9);
    const turned = JSON.parse(
      (await blademark("compare", folder, "--a", "open recovery", "--b", "close", "--json")).out,
    );
    expect(turned.mean_difference.value).toBeCloseTo(0.25, 9);
    expect((await blademark("compare", folder, "--a", "open", "--b", "none")).status).toBe(1);
  });

  it("compares the first two techniques where the study does not say which, as its report does", async () => {
    const skaters = ["aino", "bea"].map((id) => ({ id, name: id.toUpperCase(), code: id, body: {} }));
    const trials = skaters.flatMap(({ id }, i) =>
      ["close", "open"].map((technique, k) => ({
        ...{ id: `${id}-${technique}`, skater: id, technique, repeat: 1, order: 2 * i + k + 1 },
        ...{ time: 5.2 - 0.1 * k, valid: true, speedFactor: 1 },
      })),
    );
    const { out, said } = await blademark(
      "compare",
      studyFolder({ ...STUDY, compare: null, skaters, trials }, []),
      "--json",
    );
    expect(JSON.parse(out)).toMatchObject({ a: "close recovery", b: "open recovery", n: 2 });
    expect(said).toMatch(/does not say which two techniques.*close recovery and open recovery/);
  });

  it("gives every test and interval that R gives, and each skater's verdict", async () => {
    const file = table([...rows("narrow", A, 1), ...rows("wide", B, 2)]);
    const ask = ["compare", "--times", file, "--a", "narrow", "--b", "wide"];
    const json = JSON.parse((await blademark(...ask, "--json")).out);
    // docs/references.md 2.10 [computed: R]: signed rank 2/256; mixed model SE 0.010 549 147, the same df and t.
    expect(json.wilcoxon).toEqual({ v: 0, n: 8, p: 2 / 256 });
    expect(json.mixed_model.value).toBeCloseTo(-0.04625, 6);
    expect(json.mixed_model.se).toBeCloseTo(0.010549147, 7);
    expect(json.mixed_model.df).toBe(7);
    expect(json.mixed_model.sd_trial).toBeCloseTo(Math.sqrt(0.000525), 6);
    expect(json.sentences[0]).toMatch(/^Wide was faster, by 0\.046\ss on average(;| \(all eight)/);
    const { out } = await blademark(...ask);
    expect(out).toMatch(/S1 .* (faster|slower|can't tell): /);
    expect(out).toMatch(/Signed rank \(Wilcoxon\), exact: V = 0, from 8 differences, p = 0\.0078/);
  });

  it("compares a measured quantity of the demo, and says how much of the difference was skated", async () => {
    const { status, out } = await blademark("compare", DEMO, "--quantity", "touchdown_to_track_midline_m");
    expect(status).toBe(0);
    expect(out).toMatch(/touchdown to track midline was larger with open recovery/i);
    expect(out).toMatch(/asked to differ by at least 0\.06/);
    expect(out).not.toMatch(/NaN|undefined|null/);
    expect((await blademark("compare", DEMO, "--quantity", "speed")).status).toBe(2);
    const file = table(rows("narrow", A, 1));
    const times = ["compare", "--times", file, "--a", "narrow", "--b", "wide", "--quantity", "time_s"];
    expect((await blademark(...times)).status).toBe(2);
  });

  it("compares how arms swing, and has both sides of each skater", async () => {
    const ask = ["compare", ARMS, "--a", "arms along", "--b", "arms across"];
    const { status, out } = await blademark(...ask, "--quantity", "arm_swing_direction_deg", "--json");
    expect(status).toBe(0);
    const json = JSON.parse(out);
    expect(json).toMatchObject({ quantity: "arm_swing_direction_deg", n: 2 });
    expect(Object.keys(json)).toContain("smallest_worthwhile_deg");
    // sample-clips/README of the arms study: Aino swung across as asked, Signe only some 24° off the lane's direction.
    const [aino, signe] = json.pairs;
    expect(aino.b).toBeGreaterThan(45);
    expect(signe.b).toBeLessThan(45);
    for (const one of json.sides.filter((s: { value?: null }) => s.value !== null)) {
      expect(one.left_minus_right.value).toBeCloseTo(one.left.value - one.right.value, 9);
      expect(one.left_minus_right.u95).toBeGreaterThan(0);
    }
    expect(json.sides.map((s: { skater: string }) => s.skater)).toEqual(
      expect.arrayContaining(["Aino", "Signe"]),
    );
    const plain = await blademark(...ask, "--quantity", "arm_swing_direction_deg");
    expect(plain.out).toMatch(/Aino, arms across: left [\d.]+° ± [\d.]+°, right [\d.]+° ± [\d.]+°; /);
    expect(plain.out).not.toMatch(/NaN|undefined|null/);
  });

  it("looks at every pair of three techniques, adjusted", async () => {
    const C = A.replaceAll("4.", "4.0"); // far faster: 4.41 becomes 4.041
    const file = table([...rows("narrow", A, 1), ...rows("wide", B, 2), ...rows("low", C, 3)]);
    const { out } = await blademark("compare", "--times", file, "--a", "narrow", "--b", "wide");
    expect(out).toMatch(/Over all techniques together, time differs more than chance would/);
    expect(out).toMatch(/Told apart after allowing for 3 looks \(Holm\): .*low/);
  });
});
