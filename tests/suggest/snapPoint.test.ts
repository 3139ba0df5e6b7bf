import { describe, expect, it } from "vitest";
import type { Grey } from "../../src/suggest/pixels.ts";
import { snapPoint } from "../../src/suggest/snapPoint.ts";
import { normal, seeded } from "../helpers/random.ts";
import reference from "../reference/corners.json" with { type: "json" };

function greyOf(at: (x: number, y: number) => number, side = 41): Grey {
  const values = new Float32Array(side * side);
  for (let y = 0; y < side; y++) for (let x = 0; x < side; x++) values[y * side + x] = at(x, y);
  return { left: 0, top: 0, width: side, height: side, values };
}

/** Darker ice within `wide` px of a line through (x0, y0), its edges smooth over a pixel. */
function line(x0: number, y0: number, angle: number, wide: number): (x: number, y: number) => number {
  return (x, y) => {
    const d = Math.abs((x - x0) * Math.sin(angle) - (y - y0) * Math.cos(angle));
    return 1 / (1 + Math.exp((d - wide / 2) / 0.4));
  };
}

const found = (snap: ReturnType<typeof snapPoint>) => {
  if ("why" in snap) throw new Error(snap.why);
  return snap;
};

describe("a pressed place is snapped", () => {
  // Reference: OpenCV's cornerSubPix on photographs (tests/reference/corners.py), started where this is started.
  it.each(reference.cases)("to the corner OpenCV finds in $picture from $start", (given) => {
    const { left, top, side, pixels, start, corner } = given;
    const values = Float32Array.from(pixels.match(/../g)!.map((h) => Number.parseInt(h, 16)));
    const grey = { left, top, width: side, height: side, values };
    const [x, y] = start as [number, number];
    const snap = found(snapPoint(grey, { xPx: x, yPx: y }));
    expect(snap.kind).not.toBe("line");
    expect(Math.hypot(snap.xPx - corner[0]!, snap.yPx - corner[1]!)).toBeLessThan(0.05);
  });

  // Truth: where the lines were drawn.
  it("to the middle of a cross of two lines, whatever their angle, with the uncertainty it has", () => {
    const random = seeded(5);
    const offs: number[] = [];
    for (let k = 0; k < 60; k++) {
      const [x0, y0] = [20 + random() - 0.5, 20 + random() - 0.5];
      const angle = Math.PI * random();
      const bars = [line(x0, y0, angle, 2.5), line(x0, y0, angle + 1.1 + 0.8 * random(), 2.5)];
      const grey = greyOf(
        (x, y) => 230 - 150 * Math.max(...bars.map((bar) => bar(x, y))) + 4 * normal(random),
      );
      const pressed = { xPx: x0 + 3 * (random() - 0.5), yPx: y0 + 3 * (random() - 0.5) };
      const snap = found(snapPoint(grey, pressed));
      expect(snap.kind).toBe("cross");
      offs.push((snap.xPx - x0) / snap.uPx!, (snap.yPx - y0) / snap.uPx!);
    }
    const rms = Math.sqrt(offs.reduce((s, d) => s + d * d, 0) / offs.length);
    // It is stated no better than 0.15 px, whatever the noise.
    expect(rms).toBeLessThan(1);
    expect(Math.max(...offs.map(Math.abs))).toBeLessThan(1.5);
  });

  it("across a line alone where there is nothing but a line", () => {
    const grey = greyOf((x, y) => 230 - 120 * line(20.3, 20, 0.4, 3)(x, y));
    const pressed = { xPx: 19, yPx: 21.5 };
    const snap = found(snapPoint(grey, pressed));
    expect(snap).toMatchObject({ kind: "line", uPx: null });
    const off = (p: { xPx: number; yPx: number }) =>
      (p.xPx - 20.3) * Math.sin(0.4) - (p.yPx - 20) * Math.cos(0.4);
    expect(Math.abs(off(snap))).toBeLessThan(0.1);
    const along = (snap.xPx - pressed.xPx) * Math.cos(0.4) + (snap.yPx - pressed.yPx) * Math.sin(0.4);
    expect(Math.abs(along)).toBeLessThan(0.1);
  });
});

describe("nothing is snapped to, and it is said why,", () => {
  const why = (grey: Grey, at = { xPx: 20, yPx: 20 }) => {
    const snap = snapPoint(grey, at);
    return "why" in snap ? snap.why : null;
  };

  it("on plain ice, with noise or without", () => {
    const random = seeded(9);
    expect(why(greyOf(() => 230))).toContain("Nothing sharp enough");
    expect(why(greyOf(() => 230 + 3 * normal(random)))).toContain("Nothing sharp enough");
  });

  it("where the cross is farther than a press is off", () => {
    const bars = [line(26, 20, 0.3, 2.5), line(26, 20, 1.8, 2.5)];
    expect(why(greyOf((x, y) => 230 - 150 * Math.max(...bars.map((bar) => bar(x, y)))))).not.toBeNull();
  });

  it("on the edge of something broad: whether its edge or its middle was meant it can't tell", () => {
    expect(why(greyOf((x, y) => 230 - 120 * line(31, 20, 1.4, 22)(x, y)))).toContain("Only an edge");
  });

  it("at the rim of the picture", () => {
    expect(
      why(
        greyOf((x, y) => 230 - 150 * line(3, 3, 0.3, 2.5)(x, y)),
        { xPx: 3, yPx: 3 },
      ),
    ).toContain("rim");
  });
});
