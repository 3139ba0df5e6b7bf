/** Nine numbers row by row: (x, y) to ((m0 x + m1 y + m2) / w, (m3 x + m4 y + m5) / w), w = m6 x + m7 y + m8. */
export type Plane = readonly number[];

export const STAYS: Plane = [1, 0, 0, 0, 1, 0, 0, 0, 1];

export function after(second: Plane, first: Plane): Plane {
  const out = new Array<number>(9).fill(0);
  for (let r = 0; r < 3; r++)
    for (let c = 0; c < 3; c++)
      for (let k = 0; k < 3; k++) out[3 * r + c]! += second[3 * r + k]! * first[3 * k + c]!;
  return out.map((v) => v / out[8]!);
}

/** Gauss-Jordan on the 3 x 3 and a unit matrix beside it. */
export function undone(m: Plane): Plane {
  const rows = [0, 1, 2].map((r) => [
    ...m.slice(3 * r, 3 * r + 3),
    ...[0, 1, 2].map((c) => (c === r ? 1 : 0)),
  ]);
  eliminate(rows, 3);
  const out = rows.flatMap((row) => row.slice(3));
  return out.map((v) => v / out[8]!);
}

export function at(m: Plane, [x, y]: readonly [number, number]): readonly [number, number] {
  const w = m[6]! * x + m[7]! * y + m[8]!;
  return [(m[0]! * x + m[1]! * y + m[2]!) / w, (m[3]! * x + m[4]! * y + m[5]!) / w];
}

export type Pair = readonly [from: readonly [number, number], to: readonly [number, number]];

/** The map of a plane that takes places to where they were found, by least squares on the picture, from the linear answer on. */
export function planeBetween(pairs: readonly Pair[], size: number): Plane {
  const s = 1 / size;
  const scaled = pairs.map(([a, b]) => [a.map((v) => v * s), b.map((v) => v * s)] as const);
  let m: number[] = [...STAYS];
  for (let round = 0; round < 4; round++) {
    const normal = Array.from({ length: 8 }, () => new Array<number>(9).fill(0));
    for (const [[x, y], [u, v]] of scaled) {
      const w = m[6]! * x! + m[7]! * y! + 1;
      const [px, py] = [(m[0]! * x! + m[1]! * y! + m[2]!) / w, (m[3]! * x! + m[4]! * y! + m[5]!) / w];
      const rows = [
        [x! / w, y! / w, 1 / w, 0, 0, 0, (-px * x!) / w, (-px * y!) / w, u! - px],
        [0, 0, 0, x! / w, y! / w, 1 / w, (-py * x!) / w, (-py * y!) / w, v! - py],
      ];
      for (const row of rows)
        for (let i = 0; i < 8; i++) for (let j = 0; j < 9; j++) normal[i]![j]! += row[i]! * row[j]!;
    }
    eliminate(normal, 8);
    m = m.map((v, k) => (k === 8 ? 1 : v + normal[k]![8]!));
  }
  const [a, b, c, d, e, f, g, h] = m;
  return [a!, b!, c! * size, d!, e!, f! * size, g! * s, h! * s, 1];
}

/** Turns the left n columns into a unit matrix. */
function eliminate(rows: number[][], n: number): void {
  for (let k = 0; k < n; k++) {
    const best = rows.slice(k).reduce((a, r, i) => (Math.abs(r[k]!) > Math.abs(rows[a]![k]!) ? k + i : a), k);
    [rows[k], rows[best]] = [rows[best]!, rows[k]!];
    const pivot = rows[k]!.map((v) => v / rows[k]![k]!);
    rows.forEach((row, r) => {
      rows[r] = r === k ? pivot : row.map((v, c) => v - row[k]! * pivot[c]!);
    });
  }
}
