import type { RinkCode } from "./rinkCodes.ts";

/** A marking one can click on. Rink coordinates: origin centre spot, x along the rink, y to the left of someone facing +x; metres. */
export interface RinkPoint {
  /** Short and unique within a rink. */
  readonly label: string;
  /** Where exactly, in plain English, with edge or centre. */
  readonly description: string;
  readonly x: number;
  readonly y: number;
  /** Standard uncertainty of the rule book's place on a real rink, per coordinate. [judgement: 2-5 cm unless taped] */
  readonly u: number;
}

const U_SPOT = 0.02;
const U_LINE = 0.03;
const U_BOARDS = 0.05;

/** The end where x is negative is called A, the other B; left and right are seen from A towards B. */
const ENDS = [
  { end: "A", sign: -1 },
  { end: "B", sign: 1 },
] as const;
const SIDES = [
  { side: "left", sign: 1 },
  { side: "right", sign: -1 },
] as const;

export function rinkPoints(code: RinkCode): RinkPoint[] {
  return [...centre(code), ...ENDS.flatMap(({ end, sign }) => endPoints(code, end, sign))];
}

function centre(code: RinkCode): RinkPoint[] {
  const half = code.wideLineWidth / 2;
  return [
    { label: "centre spot", description: "Centre of the centre spot.", x: 0, y: 0, u: U_SPOT },
    ...SIDES.flatMap(({ side, sign }) => [
      {
        label: `centre circle ${side}`,
        description: `Where the outer edge of the centre circle crosses the middle of the centre line, ${side}.`,
        x: 0,
        y: sign * code.circleRadius,
        u: U_LINE,
      },
      ...ENDS.map(({ end, sign: along }) => ({
        label: `centre line ${end} edge ${side} boards`,
        description: `Foot of the ${side} side boards at the centre line's edge towards end ${end}.`,
        x: along * half,
        y: (sign * code.width) / 2,
        u: U_BOARDS,
      })),
    ]),
  ];
}

function endPoints(code: RinkCode, end: "A" | "B", along: 1 | -1): RinkPoint[] {
  const blueHalf = code.wideLineWidth / 2;
  const both = SIDES.flatMap(({ side, sign }): RinkPoint[] => [
    {
      label: `${end} neutral spot ${side}`,
      description: `Centre of the neutral-zone spot nearest end ${end}, ${side}.`,
      x: along * code.neutralSpotX,
      y: sign * code.spotY,
      u: U_SPOT,
    },
    {
      label: `${end} end spot ${side}`,
      description: `Centre of the spot in the ${side} circle of end ${end}.`,
      x: along * code.endSpotX,
      y: sign * code.spotY,
      u: U_SPOT,
    },
    {
      label: `${end} circle ${side} towards boards`,
      description: `Outer edge of the ${side} circle of end ${end}, straight from its spot towards the side boards.`,
      x: along * code.endSpotX,
      y: sign * (code.spotY + code.circleRadius),
      u: U_LINE,
    },
    {
      label: `${end} circle ${side} towards middle`,
      description: `Outer edge of the ${side} circle of end ${end}, straight from its spot towards the rink's long axis.`,
      x: along * code.endSpotX,
      y: sign * (code.spotY - code.circleRadius),
      u: U_LINE,
    },
    {
      label: `${end} blue line inner edge ${side} boards`,
      description: `Foot of the ${side} side boards at the edge of end ${end}'s blue line nearest the centre.`,
      x: along * (code.blueLineCentreX - blueHalf),
      y: (sign * code.width) / 2,
      u: U_BOARDS,
    },
    {
      label: `${end} blue line outer edge ${side} boards`,
      description: `Foot of the ${side} side boards at the edge of end ${end}'s blue line nearest that end.`,
      x: along * (code.blueLineCentreX + blueHalf),
      y: (sign * code.width) / 2,
      u: U_BOARDS,
    },
    {
      label: `${end} goal ${side} post`,
      description: `Inside of the ${side} goal post of end ${end}, at the middle of the goal line.`,
      x: along * code.goalLineX,
      y: (sign * code.goalWidth) / 2,
      u: U_LINE,
    },
    {
      label: `${end} crease ${side}`,
      description: `Outer edge of the ${side} side of end ${end}'s crease, at the middle of the goal line.`,
      x: along * code.goalLineX,
      y: sign * code.creaseHalfWidth,
      u: U_LINE,
    },
  ]);
  const axis: RinkPoint[] = [
    {
      label: `centre circle ${end}`,
      description: `Outer edge of the centre circle on the rink's long axis, towards end ${end}.`,
      x: along * code.circleRadius,
      y: 0,
      u: U_LINE,
    },
  ];
  return [...both, ...axis];
}
