/** What the keys do while the cursor is on. */
export function CursorWords({ justPut }: { justPut: boolean }) {
  return (
    <p className="cursor-words" role="status">
      {justPut
        ? "Put. Move the cursor to the next point."
        : "Arrows 10 px, Shift 1, Alt 0.1. Enter puts the point, C ends."}
    </p>
  );
}
