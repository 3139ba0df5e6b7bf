import { describe, expect, it } from "vitest";
import { bestMatch, templateAt } from "../../src/suggest/matchTemplate.ts";
import type { Grey } from "../../src/suggest/pixels.ts";
import { seeded } from "../helpers/random.ts";
import reference from "../reference/templates.json" with { type: "json" };

const random = seeded(7);
const BUMPS = Array.from({ length: 400 }, () => ({
  x: -20 + 160 * random(),
  y: -20 + 160 * random(),
  height: 90 * (random() - 0.5),
  wide: 2.5 + 3 * random(),
}));

/** A smooth picture that is known everywhere, also between its pixels, and nowhere alike: a sum of bumps. */
function bumpy(x: number, y: number): number {
  return BUMPS.reduce(
    (sum, b) => sum + b.height * Math.exp(-((x - b.x) ** 2 + (y - b.y) ** 2) / (2 * b.wide ** 2)),
    128,
  );
}

function pictureOf(
  at: (x: number, y: number) => number,
  width: number,
  height: number,
  left = 0,
  top = 0,
): Grey {
  const values = new Float32Array(width * height);
  for (let row = 0; row < height; row++)
    for (let column = 0; column < width; column++)
      values[row * width + column] = at(left + column, top + row);
  return { left, top, width, height, values };
}

describe("a template is found", () => {
  // Reference: OpenCV's matchTemplate (tests/reference/templates.py). Its place to the pixel, its score to single precision.
  it.each(reference.cases)(
    "where OpenCV finds it, in $width x $height",
    ({ width, height, picture, template, best }) => {
      const within = { left: 100, top: 50, width, height, values: Float32Array.from(picture) };
      const match = bestMatch(within, { ...template, values: Float32Array.from(template.values) });
      expect(match).not.toBeNull();
      expect(match!.likeness).toBeCloseTo(best.score, 4);
      expect(Math.abs(match!.x - (100 + best.column + (template.width - 1) / 2))).toBeLessThanOrEqual(0.5);
      expect(Math.abs(match!.y - (50 + best.row + (template.height - 1) / 2))).toBeLessThanOrEqual(0.5);
    },
  );

  // Truth: the same picture moved by a known part of a pixel.
  it.each([
    [0, 0],
    [0.3, -0.2],
    [-2.45, 1.4],
    [3.5, 2.5],
  ])("to a quarter of a pixel when moved by %f, %f", (dx, dy) => {
    const known = pictureOf(bumpy, 80, 80);
    const now = pictureOf((x, y) => 0.6 * bumpy(x - dx, y - dy) + 30, 60, 60, 10, 10);
    const template = templateAt(known, { x: 40, y: 40 }, { width: 21, height: 17 }, 1)!;
    const match = bestMatch(now, template)!;
    expect(Math.abs(match.x - (40 + dx))).toBeLessThan(0.25);
    expect(Math.abs(match.y - (40 + dy))).toBeLessThan(0.25);
  });

  // Truth as above; halved twice, so that what is looked in begins at parts of a halved pixel.
  it.each([
    [5, 7],
    [9, 3],
    [8, 11],
    [6, 4],
  ])("as large as it likes, in a piece of picture that begins at %i, %i and ends close by", (left, top) => {
    const known = pictureOf(bumpy, 120, 120);
    const template = templateAt(known, { x: 60, y: 60 }, { width: 73, height: 69 }, 1)!;
    const now = pictureOf((x, y) => bumpy(x - 1.3, y + 2.2), 97, 101, left, top);
    const match = bestMatch(now, template)!;
    expect(Math.abs(match.x - 61.3)).toBeLessThan(0.25);
    expect(Math.abs(match.y - 57.8)).toBeLessThan(0.25);
  });

  // Truth: the same picture enlarged about a place.
  it("when everything has become larger by what is said", () => {
    const scale = 1.35;
    const known = pictureOf(bumpy, 120, 120);
    const now = pictureOf((x, y) => bumpy(60 + (x - 31) / scale, 55 + (y - 29) / scale), 70, 70);
    const template = templateAt(known, { x: 60, y: 55 }, { width: 25, height: 25 }, scale)!;
    const match = bestMatch(now, template)!;
    expect(Math.hypot(match.x - 31, match.y - 29)).toBeLessThan(0.25);
    expect(match.likeness).toBeGreaterThan(0.99);
  });

  it("nowhere where the picture is flat, too small, or the best place lies at the rim", () => {
    const known = pictureOf(bumpy, 80, 80);
    const template = templateAt(known, { x: 40, y: 40 }, { width: 15, height: 15 }, 1)!;
    expect(
      bestMatch(
        pictureOf(() => 90, 40, 40),
        template,
      )?.likeness ?? -1,
    ).toBeLessThan(0.5);
    expect(bestMatch(pictureOf(bumpy, 16, 16), template)).toBeNull();
    expect(bestMatch(pictureOf(bumpy, 30, 30, 33, 25), template)).toBeNull();
    expect(templateAt(known, { x: 3, y: 40 }, { width: 15, height: 15 }, 1)).toBeNull();
  });
});
