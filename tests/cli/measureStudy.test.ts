import { describe, expect, it } from "vitest";
import { blademark } from "../helpers/commandLine.ts";
import { camera, input } from "../helpers/exactTrial.ts";
import { STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { filmedTables } from "./filmedTables.ts";

describe("measure of a study folder", () => {
  const study = () =>
    studyFolder({ ...STUDY, markSdPx: 1 }, [
      {
        ...{ format: "blademark.marks", version: 1, trial: "t1", iceReference: input.iceReference },
        picture: { clip: "c", width: camera.width, height: camera.height, frameInterval: 1 / 60 },
        ...{ events: input.events, marks: input.marks },
      },
    ]);

  it("gives the same strides as the tables", async () => {
    const { base } = filmedTables();
    const tables = JSON.parse((await blademark(...base, "--mark-sd", "1", "--json")).out);
    const { status, out } = await blademark("measure", study(), "t1", "--json");
    expect(status).toBe(0);
    const strides = JSON.parse(out).strides;
    expect(strides).toHaveLength(5);
    for (const [k, stride] of strides.entries()) {
      // Tables carry decimal digits, documents binary ones.
      expect(stride.stride_width_m.value ?? 0).toBeCloseTo(tables.strides[k].stride_width_m.value ?? 0, 6);
      expect(stride.blade_off_s.value).toBeCloseTo(tables.strides[k].blade_off_s.value, 6);
    }
  });

  it("draws errors for one trial with --seed, and asks which trial", async () => {
    const folder = study();
    const { status, out } = await blademark("measure", folder, "t1", "--seed", "7", "--json");
    expect(status).toBe(0);
    const json = JSON.parse(out);
    expect(json.monte_carlo).toMatchObject({ seed: 7, draws: 10_000 });
    const width = json.strides[2].stride_width_m;
    // JCGM 101:2008, 8: both ways of propagating agree where the formula is nearly straight.
    expect(Math.abs(width.monte_carlo.mean - width.value)).toBeLessThan(0.1 * width.u95);
    const all = await blademark("measure", folder, "--seed", "7");
    expect(all.status).toBe(2);
    expect(all.said).toMatch(/--seed.*one trial/);
  });

  it("gives every trial, those that are not marked with why", async () => {
    const { status, out } = await blademark("measure", study(), "--json");
    expect(status).toBe(0);
    const { trials } = JSON.parse(out);
    expect(trials).toMatchObject([
      { id: "t1", measure: { format: "blademark.measure", trial: { stride_width_m: { n: 3 } } } },
      { id: "t2", measure: null, why: expect.stringMatching(/No clip is linked/) },
    ]);
  });

  it("answers 1 for an unknown trial, a folder that is no study, and a study without marks", async () => {
    const unknown = await blademark("measure", study(), "t9");
    expect(unknown.status).toBe(1);
    expect(unknown.said).toMatch(/no trial "t9".*t1, t2/);
    expect((await blademark("measure", temporaryFolder())).status).toBe(1);
    const bare = await blademark("measure", studyFolder());
    expect(bare.status).toBe(1);
    expect(bare.said).toMatch(/None of its 2 trials/);
  });
});
