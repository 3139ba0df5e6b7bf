import { describe, expect, it } from "vitest";
import { blademark } from "../helpers/commandLine.ts";

const GIVEN = ["--aim", "15,0", "--hfov", "40", "--picture", "1920x1080", "--zone", "0,30"];

describe("place", () => {
  it("answers with one JSON object for a camera behind the start, its minus sign and all", async () => {
    const { status, out, said } = await blademark("place", "--camera", "-8,0,3", ...GIVEN, "--json");
    expect(said).toBe("");
    expect(status).toBe(0);
    const answer = JSON.parse(out);
    expect(answer).toMatchObject({
      format: "blademark.place",
      version: 1,
      camera: { x_m: -8, height_m: 3, fps: 60, mark_sd_px: 1.5 },
    });
    // f = (width / 2) / tan(hfov / 2): the pinhole's own definition.
    expect(answer.camera.focal_px).toBeCloseTo(960 / Math.tan((20 * Math.PI) / 180), 9);
    expect(answer.points.at(-1).stride_width_m.u95).toBeGreaterThan(0.02);
  });

  it("prints a table with units, the reasons of what is refused, and advice", async () => {
    const { status, out } = await blademark("place", "--camera", "15,-13,1.5", ...GIVEN);
    expect(status).toBe(0);
    expect(out).toMatch(/width, cm/);
    expect(out).toMatch(/Refused, recovery: .*hips/);
    expect(out).toMatch(/best spot/);
  });

  it("says which option is wrong and how it is written", async () => {
    expect((await blademark("place", "--camera", "15,13", ...GIVEN)).said).toMatch(
      /--camera needs 3 numbers/,
    );
    expect((await blademark("place", ...GIVEN)).said).toMatch(/--camera is missing/);
    const backwards = await blademark("place", "--camera", "-8,0,3", ...GIVEN, "--zone", "30,0");
    expect(backwards.status).toBe(2);
    const sunk = await blademark("place", "--camera", "-8,0,0", ...GIVEN);
    expect(sunk).toMatchObject({ status: 1, said: expect.stringMatching(/above the ice/) });
  });
});
