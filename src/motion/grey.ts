/** Brightness row by row from the top left, 0 black to 255 white. */
export interface Grey {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** The same smoothed, in sixteenths of a grey level. */
export interface Smooth {
  readonly width: number;
  readonly height: number;
  readonly data: Uint16Array;
}

/**
 * A picture smoothed, then halved and halved again as often as is asked for, each worked out when first asked for. A pixel
 * (x, y) of level k is the pixel (2^k x, 2^k y) of the picture.
 */
export class Pyramid {
  readonly #levels: Smooth[];

  constructor(grey: Grey) {
    this.#levels = [smoothed(grey.data, grey.width, grey.height, 0)];
  }

  get size(): { readonly width: number; readonly height: number } {
    return this.#levels[0]!;
  }

  level(k: number): Smooth {
    const known = this.#levels[k];
    if (known) return known;
    const { data, width, height } = this.level(k - 1);
    const half = everyOther(smoothed(data, width, height, 4));
    this.#levels[k] = half;
    return half;
  }
}

/**
 * Each pixel with its eight neighbours, weighed 1 2 1 by 1 2 1 (sum 16), divided by 2^shift. A small smoothing makes what is
 * read between pixels nearly as sharp as at pixels, which would pull every place found towards whole numbers.
 */
function smoothed(from: Uint8Array | Uint16Array, width: number, height: number, shift: number): Smooth {
  const data = new Uint16Array(width * height);
  const round = shift === 0 ? 0 : 1 << (shift - 1);
  const columns = new Uint32Array(width);
  for (let y = 0; y < height; y++) {
    const here = y * width;
    const above = Math.max(0, y - 1) * width;
    const below = Math.min(height - 1, y + 1) * width;
    for (let x = 0; x < width; x++) columns[x] = from[above + x]! + 2 * from[here + x]! + from[below + x]!;
    for (let x = 1; x < width - 1; x++)
      data[here + x] = (columns[x - 1]! + 2 * columns[x]! + columns[x + 1]! + round) >> shift;
    const last = width - 1;
    data[here] = (3 * columns[0]! + columns[Math.min(1, last)]! + round) >> shift;
    data[here + last] = (3 * columns[last]! + columns[Math.max(0, last - 1)]! + round) >> shift;
  }
  return { width, height, data };
}

function everyOther({ width, height, data }: Smooth): Smooth {
  const half = { width: (width + 1) >> 1, height: (height + 1) >> 1 };
  const kept = new Uint16Array(half.width * half.height);
  for (let y = 0; y < half.height; y++)
    for (let x = 0; x < half.width; x++) kept[y * half.width + x] = data[2 * y * width + 2 * x]!;
  return { ...half, data: kept };
}
