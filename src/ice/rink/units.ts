/** Metres of international feet and inches; exact (1959 agreement). */
export function feet(ft: number, inches = 0): number {
  return (ft * 3048 + inches * 254) / 10000;
}
