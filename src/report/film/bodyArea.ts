import type { Area } from "./layout.ts";

/** About how much of the picture a crouched skater takes above the ice, metres. */
const BODY = { from: 0.15, to: 1.6, half: 0.42 } as const;

/**
 * Where the skater's body is seen: there no lines on the ice are drawn, as they lie behind it.
 *
 * @param feet where the skater stands on the ice, px
 * @param pxPerMetre px a metre, across the line of sight, at the skater
 */
export function bodyArea([x, y]: readonly [x: number, y: number], pxPerMetre: number): Area {
  const half = BODY.half * pxPerMetre;
  const [from, to] = [BODY.from * pxPerMetre, BODY.to * pxPerMetre];
  return { x: x - half, y: y - to, width: 2 * half, height: to - from };
}
