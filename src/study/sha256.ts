/**
 * SHA-256 of a text as UTF-8, here because the window and the command line must name the same plan the same way.
 *
 * @returns 64 hexadecimal digits
 * @see FIPS 180-4, 6.2
 */
export function sha256(text: string): string {
  const hash = Uint32Array.from(firstBits(8, 2));
  const words = padded(utf8(text));
  for (let at = 0; at < words.length; at += 16) block(hash, words.subarray(at, at + 16));
  return [...hash].map((word) => word.toString(16).padStart(8, "0")).join("");
}

/** The first 32 bits of the fractional parts of the square (2) or cube (3) roots of the first primes (FIPS 180-4, 4.2.2). */
function firstBits(count: number, root: 2 | 3): number[] {
  const bits: number[] = [];
  for (let n = 2; bits.length < count; n++) {
    let prime = true;
    for (let d = 2; d * d <= n; d++) if (n % d === 0) prime = false;
    if (prime) bits.push(Number(integerRoot(BigInt(n) << BigInt(32 * root), root) & 0xffffffffn));
  }
  return bits;
}

/** The largest whole number whose power is not more than `n`. */
function integerRoot(n: bigint, power: 2 | 3): bigint {
  let [low, high] = [0n, 1n << 40n];
  while (high - low > 1n) {
    const middle = (low + high) / 2n;
    if (middle ** BigInt(power) <= n) low = middle;
    else high = middle;
  }
  return low;
}

const ROUND = Uint32Array.from(firstBits(64, 3));

/** @see RFC 3629, 3; half a pair of surrogates becomes the replacement character, as everywhere */
function utf8(text: string): number[] {
  return [...text].flatMap((letter) => {
    const point = letter.codePointAt(0)!;
    const code = point >= 0xd800 && point < 0xe000 ? 0xfffd : point;
    const tail = (shift: number) => 0x80 | ((code >> shift) & 0x3f);
    if (code < 0x80) return [code];
    if (code < 0x800) return [0xc0 | (code >> 6), tail(0)];
    if (code < 0x10000) return [0xe0 | (code >> 12), tail(6), tail(0)];
    return [0xf0 | (code >> 18), tail(12), tail(6), tail(0)];
  });
}

/** The message, a one bit, zeros, and its length in bits, as big-endian words (FIPS 180-4, 5.1.1). */
function padded(bytes: readonly number[]): Uint32Array {
  const blocks = Math.ceil((bytes.length + 9) / 64);
  const view = new DataView(new ArrayBuffer(64 * blocks));
  bytes.forEach((byte, i) => {
    view.setUint8(i, byte);
  });
  view.setUint8(bytes.length, 0x80);
  view.setBigUint64(64 * blocks - 8, 8n * BigInt(bytes.length));
  return Uint32Array.from({ length: 16 * blocks }, (_, i) => view.getUint32(4 * i));
}

const turned = (x: number, by: number) => (x >>> by) | (x << (32 - by));

function block(hash: Uint32Array, message: Uint32Array): void {
  const w = new Uint32Array(64);
  w.set(message);
  for (let t = 16; t < 64; t++) {
    const [x, y] = [w[t - 15]!, w[t - 2]!];
    const s0 = turned(x, 7) ^ turned(x, 18) ^ (x >>> 3);
    const s1 = turned(y, 17) ^ turned(y, 19) ^ (y >>> 10);
    w[t] = w[t - 16]! + s0 + w[t - 7]! + s1;
  }
  let [a, b, c, d, e, f, g, h] = hash as unknown as number[] as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  for (let t = 0; t < 64; t++) {
    const s1 = turned(e, 6) ^ turned(e, 11) ^ turned(e, 25);
    const first = (h + s1 + ((e & f) ^ (~e & g)) + ROUND[t]! + w[t]!) | 0;
    const s0 = turned(a, 2) ^ turned(a, 13) ^ turned(a, 22);
    const second = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + first) | 0, c, b, a, (first + second) | 0];
  }
  [a, b, c, d, e, f, g, h].forEach((word, i) => {
    hash[i] = hash[i]! + word;
  });
}
