/** What the keys do while the cursor is on. */
export function cursorWords(justPut: boolean): string {
  return justPut
    ? "Put. Move the cursor to the next point."
    : "Arrows 10 px, Shift 1, Alt 0.1. Enter puts the point, C ends.";
}
