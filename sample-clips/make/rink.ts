/**
 * A 60 x 30 m rink with IIHF markings, rink coordinates: origin centre spot, x along the rink, metres.
 *
 * Sizes: IIHF rule book 2023/24 and the 2014 text for the blue lines (22.86 m from the end boards to the line's
 * centre), as tabled in our notes on rink geometry. Written for the pictures alone; the measuring core has its own.
 */
export const RINK = {
  halfLength: 30,
  halfWidth: 15,
  cornerRadius: 8.5,
  boardHeight: 1.07,
  kickPlate: 0.2,
  goalLineX: 26,
  goalLineWidth: 0.05,
  blueLineX: 7.14,
  wideLine: 0.3,
  circleRadius: 4.5,
  circleLine: 0.05,
  centreSpotRadius: 0.15,
  spotRadius: 0.3,
  endSpot: { x: 20, y: 7 },
  neutralSpot: { x: 5.49, y: 7 },
  hashLength: 0.6,
  hashGap: 1.7,
  hashLine: 0.05,
  /** The legs of the L marks beside an end-zone spot: start, lengths, gap between the two. */
  ell: { start: 0.6, along: 1.2, across: 0.9, gap: 0.45, line: 0.05 },
  creaseRadius: 1.8,
} as const;

/** Half the width of the ice at rink x: full until the corner begins, then the corner's arc. */
export function halfWidthAt(x: number): number {
  const into = Math.abs(x) - (RINK.halfLength - RINK.cornerRadius);
  if (into <= 0) return RINK.halfWidth;
  const r = RINK.cornerRadius;
  return RINK.halfWidth - r + Math.sqrt(Math.max(0, r * r - into * into));
}
