import type { Grey } from "./pixels.ts";

export interface Snapped {
  readonly xPx: number;
  readonly yPx: number;
  /** Standard uncertainty per coordinate, px; null on a line: along it the place is as good as the hand. */
  readonly uPx: number | null;
  /** `line`: only across it is the place told, its middle; along it, it stays where it was pressed. */
  readonly kind: "cross" | "corner" | "line";
}

export type Snap = Snapped | { readonly why: string };

/** So far around is looked, px each way; a Gaussian weight of that width, as OpenCV's cornerSubPix has it. */
const WINDOW = 5;
const MOST_STEPS = 60;
const STILL_PX = 1e-4;
/** A corner farther than this from where it was pressed, px, is another one: broad bars have one on each side. [judgement] */
const FARTHEST = 3;
/** A cross is told from other things by more of the picture, so it may lie farther off. [judgement] */
const FARTHEST_CROSS = 5;
/** A cross is told by the picture so far around, px each way: where bars are broad their corners alone look like corners. */
const TURNED_WINDOW = 12;
/** Turned by half a turn the picture about a cross is itself but for this share of its variance. [measured on rendered clips] */
const MOST_UNLIKE = 0.12;
/** Root mean square slope of grey that any edge has, levels a pixel; less is noise or plain ice. [judgement] */
const LEAST_SLOPE = 4;
/** Where slopes run in one direction so much more than in the other it is a line. [judgement] */
const ONE_WAY = 12;
/** No place is told better than this, px: how edges are painted, lit and packed moves them together. [judgement] */
const LEAST_SD = 0.15;
/** Worse than this a hand is as good, px. [judgement] */
const MOST_SD = 0.6;

/**
 * What somebody pressed on, to a part of a pixel: a cross, or where four fields meet, is what looks the same turned by half a
 * turn; a corner is the point to which all slopes about it are square (Förstner & Gülch 1987, "A fast operator for detection and
 * precise location of distinct points, corners and centres of circular features"). On a line only the place across it is told; of an edge
 * nothing is, for whether the edge or the middle of what is painted was meant only the coach knows.
 *
 * @param grey must reach 19 px around the place for a cross, 9 px for a corner
 * @returns with `why`, for the coach, where nothing is found: nothing there, not sharp enough, or too far away
 */
export function snapPoint(grey: Grey, pressed: At): Snap {
  const slopes = slopesAbout(grey, pressed.xPx, pressed.yPx);
  if (!slopes) return { why: "It lies too near the rim of the picture." };
  if (slopes.rms < LEAST_SLOPE) return { why: "Nothing sharp enough to snap to is seen here." };
  const cross = crossAt(grey, pressed);
  if (!cross) return cornerAt(grey, pressed);
  if (cross.uPx === null) return cross;
  // Where fields meet in a point, or bars are thin, slopes close by agree, and perspective bends them less.
  const near = cornerAt(grey, cross);
  const agrees = "kind" in near && away(near.xPx, near.yPx, cross) < 2 * cross.uPx;
  return agrees ? { ...cross, xPx: near.xPx, yPx: near.yPx } : cross;
}

interface At {
  readonly xPx: number;
  readonly yPx: number;
}

const away = (x: number, y: number, { xPx, yPx }: At) => Math.hypot(x - xPx, y - yPx);

/** The centre of what looks the same turned by half a turn, or of a line; null where nothing near does. */
function crossAt(grey: Grey, pressed: At): Snapped | null {
  let best: { x: number; y: number; unlike: number } | null = null;
  for (let dy = -FARTHEST_CROSS; dy <= FARTHEST_CROSS; dy++) {
    for (let dx = -FARTHEST_CROSS; dx <= FARTHEST_CROSS; dx++) {
      const [x, y] = [pressed.xPx + dx, pressed.yPx + dy];
      const unlike = turnedAbout(grey, x, y)?.unlike;
      if (unlike !== undefined && (!best || unlike < best.unlike)) best = { x, y, unlike };
    }
  }
  if (!best) return null;
  // All places of a line are alike: it is the one nearest to the press.
  const isLine = turnedAbout(grey, best.x, best.y)?.isLine ?? false;
  let [x, y] = isLine ? [pressed.xPx, pressed.yPx] : [best.x, best.y];
  for (let step = 0; step < MOST_STEPS; step++) {
    const turned = turnedAbout(grey, x, y);
    if (!turned) return null;
    x += turned.move[0];
    y += turned.move[1];
    if (away(x, y, pressed) > FARTHEST_CROSS) return null;
    if (Math.hypot(...turned.move) >= STILL_PX) continue;
    const uPx = Math.hypot(LEAST_SD, turned.sd);
    if (turned.unlike >= MOST_UNLIKE || uPx > MOST_SD) return null;
    return { xPx: x, yPx: y, ...(turned.isLine ? { uPx: null, kind: "line" } : { uPx, kind: "cross" }) };
  }
  return null;
}

/** The picture about a place against itself turned by half a turn: one step of least squares towards where they are most alike. */
function turnedAbout(grey: Grey, x: number, y: number): (Omit<Found, "rms"> & { unlike: number }) | null {
  const sums = { a: 0, b: 0, c: 0, bx: 0, by: 0, cc: 0, weights: 0 };
  let [sum, squares] = [0, 0];
  // Each pair of opposite places once.
  for (let v = 0; v <= TURNED_WINDOW; v++) {
    for (let u = -TURNED_WINDOW; u <= TURNED_WINDOW; u++) {
      if (v === 0 && u <= 0) continue;
      const [here, there] = [sampleAt(grey, x + u, y + v), sampleAt(grey, x - u, y - v)];
      if (!here || !there) return null;
      const w = Math.exp(-((u / TURNED_WINDOW) ** 2) - (v / TURNED_WINDOW) ** 2);
      addSlope(sums, w, here.gx - there.gx, here.gy - there.gy, there.value - here.value);
      sum += w * (here.value + there.value);
      squares += w * (here.value ** 2 + there.value ** 2);
    }
  }
  const variance = squares - sum ** 2 / (2 * sums.weights);
  const solved = solve(sums);
  return { ...solved, unlike: variance > 0 ? sums.cc / variance : 1 };
}

/** A corner, or a line, by the slopes about it. */
function cornerAt(grey: Grey, pressed: At): Snap {
  let { xPx: x, yPx: y } = pressed;
  for (let step = 0; step < MOST_STEPS; step++) {
    const found = slopesAbout(grey, x, y);
    if (!found) return { why: "It lies too near the rim of the picture." };
    x += found.move[0];
    y += found.move[1];
    if (away(x, y, pressed) > FARTHEST) break;
    if (Math.hypot(...found.move) >= STILL_PX) continue;
    const uPx = Math.hypot(LEAST_SD, found.sd);
    if (uPx > MOST_SD) return { why: "What is seen here is not sharp enough to be better than your hand." };
    if (found.isLine) return { why: "Only an edge is seen here: along it nothing tells the place." };
    return { xPx: x, yPx: y, uPx, kind: "corner" };
  }
  return { why: "No corner, cross or line is seen this near." };
}

interface Found {
  readonly move: readonly [number, number];
  readonly isLine: boolean;
  /** Of the slopes, levels a pixel. */
  readonly rms: number;
  /** Standard deviation per coordinate that the slopes themselves tell, px. */
  readonly sd: number;
}

/** One step: least squares of all slopes about a place; null where the picture ends. */
function slopesAbout(grey: Grey, x: number, y: number): Found | null {
  const sums = { a: 0, b: 0, c: 0, bx: 0, by: 0, cc: 0, weights: 0 };
  for (let v = -WINDOW; v <= WINDOW; v++) {
    for (let u = -WINDOW; u <= WINDOW; u++) {
      const at = sampleAt(grey, x + u, y + v);
      if (!at) return null;
      const w = Math.exp(-((u / WINDOW) ** 2) - (v / WINDOW) ** 2);
      addSlope(sums, w, at.gx, at.gy, at.gx * u + at.gy * v);
    }
  }
  return { ...solve(sums), rms: Math.sqrt((sums.a + sums.c) / sums.weights) };
}

interface Sums {
  a: number;
  b: number;
  c: number;
  bx: number;
  by: number;
  cc: number;
  weights: number;
}

/** One more equation of the least squares: (gx, gy) times the move is `is`. */
function addSlope(sums: Sums, w: number, gx: number, gy: number, is: number): void {
  sums.a += w * gx * gx;
  sums.b += w * gx * gy;
  sums.c += w * gy * gy;
  sums.bx += w * gx * is;
  sums.by += w * gy * is;
  sums.cc += w * is * is;
  sums.weights += w;
}

function solve({ a, b, c, bx, by, cc, weights }: Sums): Omit<Found, "rms"> {
  const [middle, half] = [(a + c) / 2, Math.hypot((a - c) / 2, b)];
  const [large, small] = [middle + half, middle - half];
  const isLine = small * ONE_WAY < large;
  if (large <= 0) return { move: [0, 0], isLine, sd: Number.POSITIVE_INFINITY };
  if (isLine) {
    const angle = Math.atan2(2 * b, a - c) / 2;
    const [nx, ny] = [Math.cos(angle), Math.sin(angle)];
    const across = (nx * bx + ny * by) / large;
    const left = Math.max(0, cc - across * (nx * bx + ny * by));
    return { move: [across * nx, across * ny], isLine, sd: Math.sqrt(left / (weights - 1) / large) };
  }
  const det = a * c - b * b;
  const move = [(c * bx - b * by) / det, (a * by - b * bx) / det] as const;
  const left = Math.max(0, cc - move[0] * bx - move[1] * by);
  return { move, isLine, sd: Math.sqrt(((left / (weights - 2)) * (a + c)) / det / 2) };
}

/** Grey and its slopes, levels a pixel, between pixels; null outside the picture. */
function sampleAt(grey: Grey, x: number, y: number): { value: number; gx: number; gy: number } | null {
  const value = greyAt(grey, x, y);
  const [left, right] = [greyAt(grey, x - 1, y), greyAt(grey, x + 1, y)];
  const [above, under] = [greyAt(grey, x, y - 1), greyAt(grey, x, y + 1)];
  if (value === null || left === null || right === null || above === null || under === null) return null;
  return { value, gx: (right - left) / 2, gy: (under - above) / 2 };
}

function greyAt({ left, top, width, height, values }: Grey, x: number, y: number): number | null {
  const [column, row] = [Math.floor(x - left), Math.floor(y - top)];
  if (column < 0 || row < 0 || column >= width - 1 || row >= height - 1) return null;
  const [fx, fy] = [x - left - column, y - top - row];
  const at = row * width + column;
  const above = values[at]! * (1 - fx) + values[at + 1]! * fx;
  const under = values[at + width]! * (1 - fx) + values[at + width + 1]! * fx;
  return above * (1 - fy) + under * fy;
}
