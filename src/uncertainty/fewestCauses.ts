/** A part of a value this small beside the whole is rounding. */
const ROUNDING = 1e-12;

/**
 * The same values by as few causes as will do. Values that share many independent causes, each of unit standard
 * deviation, are no different from values with other such causes whose parts have the same sums of products; here the
 * first value has one cause only, the second at most one more, and so on.
 *
 * By Gram and Schmidt's method, twice for each value so that rounding does not add up.
 *
 * @param parts for each value what it owes to each cause
 * @returns for each value what it owes to the first causes of the new ones; it owes nothing to those after
 * @see Golub and Van Loan, Matrix Computations, 5.2 (the triangle of the QR factorisation of the transpose)
 */
export function fewestCauses(parts: readonly (readonly number[])[]): number[][] {
  const directions: number[][] = [];
  return parts.map((row) => {
    const own = directions.map(() => 0);
    const rest = row.slice();
    for (let round = 0; round < 2; round++) {
      directions.forEach((direction, k) => {
        const along = dot(direction, rest);
        own[k]! += along;
        for (let c = 0; c < rest.length; c++) rest[c]! -= along * direction[c]!;
      });
    }
    const left = Math.sqrt(dot(rest, rest));
    if (left > ROUNDING * Math.sqrt(dot(row, row))) {
      directions.push(rest.map((part) => part / left));
      own.push(left);
    }
    return own;
  });
}

function dot(a: readonly number[], b: readonly number[]): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k]! * b[k]!;
  return sum;
}
