/** 3 x 3 matrices as nine numbers, row by row: these run thousands of times in one propagation. */
export type Matrix3 = readonly number[];

export function multiply(a: Matrix3, b: Matrix3): Matrix3 {
  const product = new Array<number>(9);
  for (let row = 0; row < 9; row += 3) {
    for (let column = 0; column < 3; column++) {
      product[row + column] =
        a[row]! * b[column]! + a[row + 1]! * b[column + 3]! + a[row + 2]! * b[column + 6]!;
    }
  }
  return product;
}

/** exp([turn]×) · rotation, by Rodrigues' formula. */
export function rotated(turn: readonly [number, number, number], rotation: Matrix3): Matrix3 {
  const angle = Math.hypot(...turn);
  // sin(a)/a and (1 - cos(a))/a², with their limits at zero
  const s = angle < 1e-8 ? 1 : Math.sin(angle) / angle;
  const c = angle < 1e-8 ? 0.5 : (1 - Math.cos(angle)) / angle ** 2;
  const [a, b, d] = turn;
  const exp = [
    1 - c * (b * b + d * d),
    c * a * b - s * d,
    c * a * d + s * b,
    c * a * b + s * d,
    1 - c * (a * a + d * d),
    c * b * d - s * a,
    c * a * d - s * b,
    c * b * d + s * a,
    1 - c * (a * a + b * b),
  ];
  return multiply(exp, rotation);
}

export function transposed(m: Matrix3): Matrix3 {
  return [m[0]!, m[3]!, m[6]!, m[1]!, m[4]!, m[7]!, m[2]!, m[5]!, m[8]!];
}

export function times(m: Matrix3, v: readonly number[]): [number, number, number] {
  return [0, 3, 6].map((r) => m[r]! * v[0]! + m[r + 1]! * v[1]! + m[r + 2]! * v[2]!) as [
    number,
    number,
    number,
  ];
}
