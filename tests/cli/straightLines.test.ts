import { expect, it } from "vitest";
import { writeIcePointsCsv } from "../../src/study/tables.ts";
import { blademark } from "../helpers/commandLine.ts";
import { filmer, see, type Vec } from "../validate/lens.ts";
import { dice } from "../validate/random.ts";
import { filmedTables } from "./filmedTables.ts";

/** The validation's own camera on the bench, whose lens bends lines; twelve ice points in the middle of its picture can't tell it. */
const K1 = -0.14;
const CAMERA = filmer([6, -9, 3], [18, 0, 0.3], 62, { k1: K1 });

function tables(more: readonly string[] = []) {
  const d = dice(41);
  const { put } = filmedTables();
  const seen = (p: Vec) => see(CAMERA, p)!.map((v) => v + d.normal(1)) as [number, number];
  const points = [16.5, 17.5, 18.5, 19.5].flatMap((x) =>
    [-1.2, 0.2, 1.6].map((y) => {
      const [xPx, yPx] = seen([x, y, 0]);
      return { label: `P ${x} ${y}`, x, y, xPx, yPx };
    }),
  );
  const edge = (name: string, z: number) =>
    [6, 12, 18, 24, 30].map((x) => `${name},${seen([x, 13, z]).join()}`);
  const near = [9, 12, 15, 18, 21].map((x) => `painted,${seen([x, -3.5, 0]).join()}`);
  const lines = put(
    "lines.csv",
    ["line,x_px,y_px", ...edge("top", 1.07), ...edge("foot", 0), ...near].join("\n"),
  );
  const marks = put("no-marks.csv", "frame,time_s,point,side,x_px,y_px\n");
  const events = put("no-events.csv", "event,side,frame\n");
  const ice = put("few.csv", writeIcePointsCsv(points));
  const base = ["measure", "--marks", marks, "--events", events, "--ice", ice, "--picture", "1920x1080"];
  return { put, base: [...base, ...more], lines };
}

const lensOf = (out: string) => JSON.parse(out).scale.lens;

it("measure --lines takes the lens from straight lines where the ice points can't tell it", async () => {
  const { base, lines } = tables(["--json"]);
  const without = await blademark(...base);
  expect(lensOf(without.out)).not.toMatchObject({ from: "straight lines" });
  const { out, status } = await blademark(...base, "--lines", lines);
  expect(status).toBe(0);
  const lens = lensOf(out);
  expect(lens).toMatchObject({ from: "straight lines" });
  expect(Math.abs(lens.k1 - K1)).toBeLessThan(1.5 * lens.u95_k1);
  expect(lens.u95_k1).toBeLessThan(0.1);
  expect(JSON.parse(out).scale.setup).toBeUndefined();
});

it("refuses lines beside what they can't serve, and says what is wrong with those that tell nothing", async () => {
  const { base, lines, put } = tables();
  const both = await blademark(...base, "--lines", lines, "--lens", "-0.1");
  expect([both.status, both.said]).toEqual([2, expect.stringContaining("--lens or --lines, not both")]);
  const short = put("short.csv", "line,x_px,y_px\na,900,500\na,950,501\na,1000,500\n");
  const told = await blademark(...base, "--lines", short);
  expect([told.status, told.said]).toEqual([1, expect.stringContaining("edge to edge")]);
  const bad = put("bad.csv", "line,x_px,y_px,frame\na,900,500,1\na,950,x,2\n");
  const table = await blademark(...base, "--lines", bad);
  expect(table.status).toBe(1);
  expect(table.said).toContain(`y_px is "x"`);
  expect(table.said).toContain("another frame");
  const [missing] = [await blademark(...base, "--lines", "nowhere.csv")];
  expect(missing!.said).toContain("There is no file nowhere.csv");
});
