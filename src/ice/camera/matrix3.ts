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
