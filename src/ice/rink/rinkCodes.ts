import { feet } from "./units.ts";

/**
 * What a code's rule book says about a rink, metres, each in the code's own units converted exactly. Printed
 * metric and imperial values of one marking are often rounded apart, so none is ever converted into another.
 * Positions are from the centre spot: `X` along the rink, `Y` across.
 */
export interface RinkCode {
  readonly key: string;
  readonly name: string;
  readonly length: number;
  readonly width: number;
  readonly cornerRadius: number;
  readonly goalLineX: number;
  readonly goalLineWidth: number;
  readonly blueLineCentreX: number;
  /** Blue lines and centre line. */
  readonly wideLineWidth: number;
  /** To the outer edge of the painted line. */
  readonly circleRadius: number;
  readonly circleLineWidth: number;
  readonly centreSpotDiameter: number;
  readonly spotDiameter: number;
  readonly neutralSpotX: number;
  readonly endSpotX: number;
  readonly spotY: number;
  readonly creaseRadius: number;
  readonly creaseHalfWidth: number;
  readonly refereeCreaseRadius: number;
  /** Inside width of the goal. */
  readonly goalWidth: number;
}

/** IIHF Official Rule Book 2023/24, Rule 1; blue line 22.86 m from the end boards to its centre; crease text of 2014. */
function iihf(width: 26 | 30): RinkCode {
  return {
    key: `iihf-60x${width}`,
    name: `IIHF, 60 × ${width} m`,
    length: 60,
    width,
    cornerRadius: 8.5,
    goalLineX: 26,
    goalLineWidth: 0.05,
    blueLineCentreX: 7.14,
    wideLineWidth: 0.3,
    circleRadius: 4.5,
    circleLineWidth: 0.05,
    centreSpotDiameter: 0.3,
    spotDiameter: 0.6,
    neutralSpotX: 5.49,
    endSpotX: 20,
    spotY: 7,
    creaseRadius: 1.8,
    creaseHalfWidth: 1.225,
    refereeCreaseRadius: 3,
    goalWidth: 1.83,
  };
}

/** NHL Official Rules, Rule 1: 11 + 64 + 50 + 64 + 11 = 200 ft, blue lines outside the 50 ft neutral zone. */
const NHL: RinkCode = {
  key: "nhl-200x85",
  name: "NHL, 200 × 85 ft",
  length: feet(200),
  width: feet(85),
  cornerRadius: feet(28),
  goalLineX: feet(89),
  goalLineWidth: feet(0, 2),
  blueLineCentreX: feet(25, 6),
  wideLineWidth: feet(1),
  circleRadius: feet(15),
  circleLineWidth: feet(0, 2),
  centreSpotDiameter: feet(1),
  spotDiameter: feet(2),
  neutralSpotX: feet(20),
  endSpotX: feet(69),
  spotY: feet(22),
  creaseRadius: feet(6),
  creaseHalfWidth: feet(4),
  refereeCreaseRadius: feet(10),
  goalWidth: feet(6),
};

export const RINK_CODES: readonly RinkCode[] = [iihf(30), iihf(26), NHL];
