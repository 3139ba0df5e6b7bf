/** A picture as numbers: RGBA, row by row, 0 to 255. */
export interface Rgba {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array | Uint8ClampedArray;
}

/** A part of a picture in grey, row by row, 0 to 255. `left`, `top`: the picture's pixel its first value shows. */
export interface Grey {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  readonly values: Float32Array;
}

/** A square of the picture, px: `x`, `y` its centre. */
export interface Square {
  readonly x: number;
  readonly y: number;
  readonly side: number;
}

/** Most samples along a side of a small picture's pixel: a square four times as large needs no more. */
const MOST_SAMPLES = 4;

/**
 * A square of the picture as `size` x `size` pixels, RGB as whole numbers. Black where it lies outside the picture.
 * Each small pixel is the mean of an even grid of places in it, each between four pixels of the picture: the same numbers
 * wherever it runs.
 */
export function smallSquare(picture: Rgba, { x, y, side }: Square, size: number): Int32Array {
  const step = side / size;
  const n = Math.min(MOST_SAMPLES, Math.max(1, Math.ceil(step)));
  const out = new Int32Array(size * size * 3);
  const sum = [0, 0, 0];
  for (let row = 0; row < size; row++) {
    for (let column = 0; column < size; column++) {
      sum.fill(0);
      for (let i = 0; i < n; i++) {
        const py = y - side / 2 + (row + (i + 0.5) / n) * step;
        for (let j = 0; j < n; j++) addAt(picture, x - side / 2 + (column + (j + 0.5) / n) * step, py, sum);
      }
      const at = (row * size + column) * 3;
      for (let c = 0; c < 3; c++) out[at + c] = Math.round((sum[c] as number) / (n * n));
    }
  }
  return out;
}

/** Adds the colour at a place; (0, 0) is the centre of the first pixel. Nothing outside. */
function addAt({ width, height, data }: Rgba, x: number, y: number, sum: number[]): void {
  const left = Math.floor(x);
  const top = Math.floor(y);
  if (left < 0 || top < 0 || left >= width - 1 || top >= height - 1) return;
  const fx = x - left;
  const fy = y - top;
  const at = (top * width + left) * 4;
  const below = at + width * 4;
  for (let c = 0; c < 3; c++) {
    const above = (data[at + c] as number) * (1 - fx) + (data[at + 4 + c] as number) * fx;
    const under = (data[below + c] as number) * (1 - fx) + (data[below + 4 + c] as number) * fx;
    sum[c] = (sum[c] as number) + above * (1 - fy) + under * fy;
  }
}

/** A rectangle of whole pixels in grey (ITU-R BT.601 weights), cut to the picture; null where nothing of it is left. */
export function greyPart(
  picture: Rgba,
  from: { readonly x: number; readonly y: number },
  to: { readonly x: number; readonly y: number },
): Grey | null {
  const left = Math.max(0, Math.floor(from.x));
  const top = Math.max(0, Math.floor(from.y));
  const width = Math.min(picture.width, Math.ceil(to.x) + 1) - left;
  const height = Math.min(picture.height, Math.ceil(to.y) + 1) - top;
  if (width <= 0 || height <= 0) return null;
  const values = new Float32Array(width * height);
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const at = ((top + row) * picture.width + left + column) * 4;
      const [r, g, b] = [picture.data[at], picture.data[at + 1], picture.data[at + 2]] as [
        number,
        number,
        number,
      ];
      values[row * width + column] = 0.299 * r + 0.587 * g + 0.114 * b;
    }
  }
  return { left, top, width, height, values };
}
