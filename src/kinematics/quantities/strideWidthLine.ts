import type { Stride } from "../types.ts";

interface Place {
  readonly x: number;
  readonly y: number;
}

/** Where to draw a stride's width: from its blade-off point to the foot on the line through its two neighbours. */
export function strideWidthLine(
  strides: readonly Stride[],
  stride: Stride,
): { readonly from: Place; readonly foot: Place; readonly before: Place; readonly after: Place } | null {
  const at = strides.indexOf(stride);
  const before = strides[at - 1]?.off;
  const after = strides[at + 1]?.off;
  const from = stride.off;
  if (!before || !after || !from) return null;
  const dx = after.x - before.x;
  const dy = after.y - before.y;
  const length2 = dx * dx + dy * dy;
  if (length2 === 0) return null;
  const share = ((from.x - before.x) * dx + (from.y - before.y) * dy) / length2;
  return { from, foot: { x: before.x + share * dx, y: before.y + share * dy }, before, after };
}
