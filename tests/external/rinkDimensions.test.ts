import { describe, expect, it } from "vitest";
import {
  RINKS,
  type RinkPoint,
  rinkByKey,
  rinkLines,
  toLane,
  toRink,
} from "../../src/ice/rink/rinkMarkings.ts";
import { feet } from "../../src/ice/rink/units.ts";

// Expected places: docs/references.md 1.3 and 1.4 [read: rule books; computed from them].
const at = (key: string, label: string): RinkPoint => {
  const point = rinkByKey(key).points.find((p) => p.label === label);
  if (!point) throw new Error(`no ${label} on ${key}`);
  return point;
};
const apart = (a: RinkPoint, b: RinkPoint) => Math.hypot(a.x - b.x, a.y - b.y);

describe("units", () => {
  it("converts feet and inches exactly", () => {
    expect(feet(1)).toBe(0.3048);
    expect(feet(0, 1)).toBe(0.0254);
    expect(feet(200)).toBe(60.96);
    expect(feet(85)).toBeCloseTo(25.908, 12);
  });
});

describe("IIHF rink", () => {
  const key = "iihf-60x30";

  it("has the rule book's reference coordinates", () => {
    expect(at(key, "B neutral spot left")).toMatchObject({ x: 5.49, y: 7 });
    expect(at(key, "A neutral spot right")).toMatchObject({ x: -5.49, y: -7 });
    expect(at(key, "B end spot right")).toMatchObject({ x: 20, y: -7 });
    expect(at(key, "B blue line inner edge left boards").x).toBeCloseTo(6.99, 12);
    expect(at(key, "B blue line outer edge left boards").x).toBeCloseTo(7.29, 12);
    expect(at(key, "A goal left post")).toMatchObject({ x: -26, y: 0.915 });
    expect(at(key, "centre circle left")).toMatchObject({ x: 0, y: 4.5 });
  });

  it("has the distances between spots", () => {
    expect(apart(at(key, "A neutral spot left"), at(key, "B neutral spot left"))).toBeCloseTo(10.98, 10);
    expect(apart(at(key, "B neutral spot left"), at(key, "B neutral spot right"))).toBeCloseTo(14, 10);
    expect(apart(at(key, "B neutral spot left"), at(key, "B end spot left"))).toBeCloseTo(14.51, 10);
  });

  it("differs between 30 and 26 m wide only at the boards", () => {
    expect(at("iihf-60x26", "B end spot left")).toEqual(at(key, "B end spot left"));
    expect(at("iihf-60x26", "centre line A edge right boards").y).toBe(-13);
    expect(at(key, "centre line A edge right boards").y).toBe(-15);
  });
});

describe("NHL rink", () => {
  const key = "nhl-200x85";

  it("has the rule book's reference coordinates", () => {
    expect(at(key, "B neutral spot left").x).toBeCloseTo(6.096, 10);
    expect(at(key, "B neutral spot left").y).toBeCloseTo(6.7056, 10);
    expect(at(key, "B end spot left").x).toBeCloseTo(21.0312, 10);
    expect(at(key, "B goal left post").x).toBeCloseTo(27.1272, 10);
    expect(at(key, "B blue line inner edge left boards").x).toBeCloseTo(7.62, 10);
    expect(at(key, "B blue line outer edge left boards").x).toBeCloseTo(7.9248, 10);
    expect(at(key, "centre circle right").y).toBeCloseTo(-4.572, 10);
  });

  it("has the distances between spots", () => {
    expect(apart(at(key, "A neutral spot left"), at(key, "B neutral spot left"))).toBeCloseTo(12.192, 10);
    expect(apart(at(key, "B neutral spot left"), at(key, "B neutral spot right"))).toBeCloseTo(13.4112, 10);
    expect(apart(at(key, "B neutral spot left"), at(key, "B end spot left"))).toBeCloseTo(14.9352, 10);
  });

  it("closes along its length: 11 + 64 + 50 + 64 + 11 ft", () => {
    const goal = at(key, "B goal left post").x;
    const blue = at(key, "B blue line inner edge left boards").x;
    expect(goal - blue).toBeCloseTo(feet(64), 10);
    expect(2 * blue).toBeCloseTo(feet(50), 10);
    expect(rinkByKey(key).length / 2 - goal).toBeCloseTo(feet(11), 10);
  });

  it("draws the crease where 6 ft from the goal line's centre meets 4 ft beside it: 4.472 ft out", () => {
    const crease = rinkLines(key).find(
      (l) => l.kind === "crease" && Math.abs(l.points[0]!.x - feet(89)) < 1e-9,
    )!;
    const corner = crease.points[1]!;
    expect(feet(89) - corner.x).toBeCloseTo(feet(Math.sqrt(20)), 9);
    expect(corner.y).toBeCloseTo(feet(4), 9);
  });
});

describe("every rink", () => {
  it.each(RINKS.map((r) => [r.key, r] as const))(
    "%s: labels are unique, points lie on it, and it mirrors",
    (_, rink) => {
      expect(new Set(rink.points.map((p) => p.label)).size).toBe(rink.points.length);
      expect(rink.points.length).toBeGreaterThan(30);
      for (const p of rink.points) {
        expect(Math.abs(p.x)).toBeLessThanOrEqual(rink.length / 2);
        expect(Math.abs(p.y)).toBeLessThanOrEqual(rink.width / 2);
        expect(p.u).toBeGreaterThanOrEqual(0.02);
        expect(p.u).toBeLessThanOrEqual(0.05);
        expect(p.description).toMatch(/[Cc]entre|edge|Edge|Inside/);
        const mirrored = rink.points.some((q) => Math.abs(q.x - p.x) < 1e-9 && Math.abs(q.y + p.y) < 1e-9);
        expect(mirrored, `${p.label} mirrored`).toBe(true);
      }
    },
  );

  it.each(RINKS.map((r) => [r.key, r] as const))("%s: drawn lines stay inside the boards", (key, rink) => {
    const lines = rinkLines(key);
    expect(lines.length).toBeGreaterThan(20);
    for (const line of lines) {
      for (const p of line.points) {
        expect(Math.abs(p.x)).toBeLessThanOrEqual(rink.length / 2 + 1e-9);
        expect(Math.abs(p.y)).toBeLessThanOrEqual(rink.width / 2 + 1e-9);
      }
    }
  });

  it("refuses a key it does not know", () => {
    expect(() => rinkByKey("moon")).toThrow("moon");
    expect(rinkLines("moon")).toEqual([]);
  });
});

describe("placing the lane on the rink", () => {
  const placement = { rink: "iihf-60x30", startX: -15, startY: 2, headingDeg: 30 };

  it("turns and shifts as by hand, and back", () => {
    // 10 m ahead and 1 m left of the start at 30°: x = -15 + 10 cos 30° - sin 30°, y = 2 + 10 sin 30° + cos 30°
    const onRink = { x: -15 + 5 * Math.sqrt(3) - 0.5, y: 2 + 5 + Math.sqrt(3) / 2 };
    const onLane = toLane(onRink, placement);
    expect(onLane.x).toBeCloseTo(10, 12);
    expect(onLane.y).toBeCloseTo(1, 12);
    const back = toRink(onLane, placement);
    expect(back.x).toBeCloseTo(onRink.x, 12);
    expect(back.y).toBeCloseTo(onRink.y, 12);
  });
});
