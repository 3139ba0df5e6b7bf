import type { Grey } from "./pixels.ts";

/** A place found by matching, px of the picture, and how alike it is (normalised cross-correlation, -1 to 1). */
export interface Match {
  readonly x: number;
  readonly y: number;
  readonly likeness: number;
}

/** A piece of picture with the place in it that is looked for. */
export interface Template {
  /** Its centre stands for the place looked for. */
  readonly width: number;
  readonly height: number;
  readonly values: Float32Array;
}

/**
 * A template `width` x `height` around (x, y), taken from a picture in which everything is `1 / scale` times as large as
 * in the one it is to be found in.
 *
 * @returns null where it would reach beyond the picture
 */
export function templateAt(
  from: Grey,
  { x, y }: { readonly x: number; readonly y: number },
  { width, height }: { readonly width: number; readonly height: number },
  scale: number,
): Template | null {
  const values = new Float32Array(width * height);
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const value = greyAt(
        from,
        x + (column - (width - 1) / 2) / scale,
        y + (row - (height - 1) / 2) / scale,
      );
      if (value === null) return null;
      values[row * width + column] = value;
    }
  }
  return { width, height, values };
}

function greyAt({ left, top, width, height, values }: Grey, x: number, y: number): number | null {
  const column = Math.floor(x - left);
  const row = Math.floor(y - top);
  if (column < 0 || row < 0 || column >= width - 1 || row >= height - 1) return null;
  const fx = x - left - column;
  const fy = y - top - row;
  const at = row * width + column;
  const above = values[at]! * (1 - fx) + values[at + 1]! * fx;
  const under = values[at + width]! * (1 - fx) + values[at + width + 1]! * fx;
  return above * (1 - fy) + under * fy;
}

/** Pictures are halved while both sides of the template keep at least so many pixels: less is no pattern any more. */
const LEAST_SIDE = 11;
/** How far the place found in a halved picture may be off in the whole one, px. */
const HALVED_OFF = 3;

/**
 * Where in `within` the template fits best, by normalised cross-correlation: first in pictures halved as often as the
 * template allows, then near there at whole pixels, then between them by the top of a paraboloid (Lewis 1995, "Fast
 * normalized cross-correlation").
 *
 * @returns null where the template does not fit in, nothing but flat picture is there, or the place may lie beyond the rim
 */
export function bestMatch(within: Grey, template: Template): Match | null {
  if (Math.min(template.width, template.height) < 2 * LEAST_SIDE) return matchWhole(within, template);
  const rough = bestMatch(halved(within), halvedTemplate(template));
  if (!rough) return null;
  // A halved pixel's centre lies between two whole ones; what the template lost at an odd edge moves its middle.
  const x = 2 * rough.x + 0.5 + (template.width % 2) / 2;
  const y = 2 * rough.y + 0.5 + (template.height % 2) / 2;
  return matchWhole(part(within, { x, y }, HALVED_OFF, template), template);
}

/** What of a picture can be reached with the template's middle within `search` px of a place. */
export function part(
  picture: Grey,
  { x, y }: { readonly x: number; readonly y: number },
  search: number,
  { width, height }: { readonly width: number; readonly height: number },
): Grey {
  // Counted in the picture's own pixels: a halved one begins between two of them.
  const [across, down] = [x - picture.left, y - picture.top];
  const first = Math.max(0, Math.round(across - search - width / 2));
  const top = Math.max(0, Math.round(down - search - height / 2));
  const columns = Math.max(0, Math.min(picture.width, Math.round(across + search + width / 2) + 1) - first);
  const rows = Math.max(0, Math.min(picture.height, Math.round(down + search + height / 2) + 1) - top);
  const values = new Float32Array(columns * rows);
  for (let row = 0; row < rows; row++) {
    const at = (top + row) * picture.width + first;
    values.set(picture.values.subarray(at, at + columns), row * columns);
  }
  return { left: picture.left + first, top: picture.top + top, width: columns, height: rows, values };
}

/** Each pixel the mean of four; its place is counted in halved pixels. An odd last row or column is left out. */
function halved({ left, top, width, height, values }: Grey): Grey {
  const small = halvedTemplate({ width, height, values });
  return { left: left / 2, top: top / 2, ...small };
}

function halvedTemplate({ width, height, values }: Template): Template {
  const columns = width >> 1;
  const rows = height >> 1;
  const half = new Float32Array(columns * rows);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const at = 2 * row * width + 2 * column;
      half[row * columns + column] =
        (values[at]! + values[at + 1]! + values[at + width]! + values[at + width + 1]!) / 4;
    }
  }
  return { width: columns, height: rows, values: half };
}

function matchWhole(within: Grey, template: Template): Match | null {
  const { width, height, values } = template;
  const columns = within.width - width + 1;
  const rows = within.height - height + 1;
  if (columns < 3 || rows < 3) return null;
  const n = width * height;
  let mean = 0;
  for (const v of values) mean += v / n;
  const centred = values.map((v) => v - mean);
  let own = 0;
  for (const v of centred) own += v * v;
  if (own < n) return null;
  const likeness = new Float64Array(columns * rows);
  let best = -1;
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      let [sum, squares, cross] = [0, 0, 0];
      for (let r = 0; r < height; r++) {
        const at = (row + r) * within.width + column;
        for (let c = 0; c < width; c++) {
          const v = within.values[at + c]!;
          sum += v;
          squares += v * v;
          cross += v * centred[r * width + c]!;
        }
      }
      const spread = squares - (sum * sum) / n;
      const at = row * columns + column;
      likeness[at] = spread < n ? -1 : cross / Math.sqrt(spread * own);
      if (best < 0 || likeness[at]! > likeness[best]!) best = at;
    }
  }
  const [row, column] = [Math.floor(best / columns), best % columns];
  // At the rim the true place may lie beyond it.
  if (row === 0 || column === 0 || row === rows - 1 || column === columns - 1) return null;
  const at = (dr: number, dc: number) => likeness[(row + dr) * columns + column + dc]!;
  const top = at(0, 0);
  return {
    x: within.left + column + (width - 1) / 2 + betweenThree(at(0, -1), top, at(0, 1)),
    y: within.top + row + (height - 1) / 2 + betweenThree(at(-1, 0), top, at(1, 0)),
    likeness: top,
  };
}

/** Where a parabola through three values a step apart has its top, in steps from the middle one. */
function betweenThree(before: number, top: number, after: number): number {
  const bend = before + after - 2 * top;
  return bend < 0 ? Math.max(-0.5, Math.min(0.5, (before - after) / (2 * bend))) : 0;
}
