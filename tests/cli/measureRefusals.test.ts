import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { writeIcePointsCsv } from "../../src/study/tables.ts";
import { blademark } from "../helpers/commandLine.ts";
import { ORDINARY } from "../helpers/skater.ts";
import { filmedTables } from "./filmedTables.ts";

describe("what measure refuses", () => {
  it("names file, line and reason of every bad row, and imports none of it", async () => {
    const { base, put } = filmedTables();
    put(
      "marks.csv",
      "frame,time_s,point,side,x_px,y_px\n1,0.1,blade_toe,left,5,5\n2,0.2,knee,left,5,5\n3,x,hip,up,5,5\n",
    );
    const { status, out, said } = await blademark(...base);
    expect({ status, out }).toEqual({ status: 1, out: "" });
    expect(said).toMatch(/marks\.csv/);
    expect(said).toMatch(/Line 3: point is "knee"/);
    expect(said).toMatch(/Line 4: time_s/);
  });

  it("answers 1 for a table that is not there", async () => {
    const { base, ice } = filmedTables();
    const { status, said } = await blademark(...base.map((a) => (a === ice ? `${ice}x` : a)));
    expect(status).toBe(1);
    expect(said).toMatch(/no file .*ice\.csvx/);
  });

  it("refuses metres from a moving camera's ice points on one frame only, and keeps the times", async () => {
    const { base, ice, put } = filmedTables();
    const [head, ...rows] = readFileSync(ice, "utf8").trim().split(/\r?\n/);
    const file = put("ice_frames.csv", [`frame,${head}`, ...rows.map((r) => `12,${r}`)].join("\n"));
    const args = base.map((a) => (a === "--ice" ? "--ice-frames" : a === ice ? file : a));
    const { status, out, said } = await blademark(...args, "--json");
    expect(status).toBe(1);
    expect(said).toMatch(/camera moves.*only on frame 12/);
    expect(JSON.parse(out).strides[2].stride_width_m.value).toBeNull();
  });

  it("keeps times and rates, says why there are no metres, and answers 1, when the ice reference is refused", async () => {
    const { base, put } = filmedTables();
    // Four points on one line give no scale of the ice.
    const line = [0, 1, 2, 3].map((i) => ({ label: `P${i}`, xPx: 100 + 300 * i, yPx: 500, x: 10 + i, y: 0 }));
    put("ice.csv", writeIcePointsCsv(line));
    const { status, out, said } = await blademark(...base, "--json");
    expect(status).toBe(1);
    expect(said).toMatch(/lie on one line/);
    const json = JSON.parse(out);
    expect(json.scale.value).toBeNull();
    expect(json.scale.why).toMatch(/line/);
    expect(json.strides[2].stride_width_m.value).toBeNull();
    expect(json.strides[2].stride_width_m.why.length).toBeGreaterThan(10);
    // Events on the very frames: within what rounding to frames leaves open.
    const { value, u95 } = json.strides[2].stride_rate_hz;
    expect(Math.abs(value - 1 / ORDINARY.period)).toBeLessThanOrEqual(u95);
    expect(u95).toBeLessThan(0.35);
  });
});
