import type { Stride } from "../../../../src/kinematics/types.ts";

/** The stride whose blade-off is at the frame or the last one before it; the first one before any. */
export function currentStride(strides: readonly Stride[], frame: number): Stride | null {
  let current = strides[0] ?? null;
  for (const stride of strides) if (stride.blade_off_frame <= frame) current = stride;
  return current;
}
