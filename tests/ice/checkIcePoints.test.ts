import { describe, expect, it } from "vitest";
import { fitScale } from "../../src/ice/fitScale.ts";
import { camera, moved, points, refusal, scaleOf } from "./eightPoints.ts";

describe("an ice point just outside the picture", () => {
  const wide = [...points(), { label: "P9", x: 11, y: -1.5, ...camera.see(11, -1.5, 0) }];

  it("is used, and named in a warning: a painted line may have been extended beyond the edge", () => {
    expect(wide[8]!.xPx).toBeLessThan(-0.5);
    const { summary, hull } = scaleOf(wide);
    expect(summary.warnings.map((w) => w.code)).toEqual(["ice-point-outside-picture"]);
    expect(summary.warnings[0]!.text).toContain("P9");
    expect(Math.min(...hull.map((p) => p.x))).toBe(11);
  });

  it("is refused where most points are: then the picture's size is wrong", () => {
    const small = { width: 700, height: 500 };
    expect(() => fitScale({ kind: "ice-points", points: points() }, small, 1)).toThrow(
      expect.objectContaining({ code: "ice-point-outside-picture" }),
    );
  });
});

describe("ice points that are refused", () => {
  it.each([
    ["three points", points(3), "too-few-ice-points", "at least four"],
    ["no points", [], "too-few-ice-points", "at least four"],
    ["not a number", moved(points(), "P2", { xPx: Number.NaN }), "ice-point-not-a-number", "P2"],
    [
      "an infinite place",
      moved(points(), "P2", { y: Number.POSITIVE_INFINITY }),
      "ice-point-not-a-number",
      "P2",
    ],
    ["good to more than any rink", moved(points(), "P2", { u: 1e308 }), "ice-point-not-a-number", "P2"],
    ["far outside the picture", moved(points(), "P7", { xPx: 2900 }), "ice-point-outside-picture", "P7"],
    ["the same place twice", moved(points(), "P3", { x: 12.6, y: 1.5 }), "ice-points-identical", "P1 and P3"],
  ] as const)("%s", (_, list, code, name) => {
    const error = refusal(list);
    expect(error.code).toBe(code);
    expect(error.coach).toContain(name);
  });

  it("three of four on one line, by name", () => {
    const line = [
      [12.6, 0, "P1"],
      [16, 0, "P2"],
      [20, 0, "P3"],
      [18, 1.5, "P4"],
    ] as const;
    const list = line.map(([x, y, label]) => ({ label, ...camera.see(x, y, 0), x, y }));
    const error = refusal(list);
    expect(error.code).toBe("ice-points-on-a-line");
    expect(error.coach).toContain("P1, P2 and P3 lie on one line");
  });

  it("all but one on a line, however many", () => {
    const list = [...[13, 15, 17, 19, 21].map((x) => [x, 0.01 * (x % 2)] as const), [18, 1.4] as const].map(
      ([x, y], k) => ({ label: `P${k + 1}`, ...camera.see(x, y, 0), x, y }),
    );
    expect(refusal(list).code).toBe("ice-points-on-a-line");
  });

  it("mirrored places: the camera would be under the ice", () => {
    const error = refusal(points().map((p) => ({ ...p, y: -p.y })));
    expect(error.code).toBe("ice-points-mirrored");
    expect(error.coach).toContain("left");
  });
});
