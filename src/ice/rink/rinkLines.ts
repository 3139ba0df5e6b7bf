import type { FlatPoint } from "../points/hull.ts";
import { RINK_CODES, type RinkCode } from "./rinkCodes.ts";

/** One painted line, or the boards, as a polyline along its middle; rink coordinates, metres. */
export interface RinkLine {
  readonly kind: "boards" | "centre line" | "blue line" | "goal line" | "circle" | "spot" | "crease";
  readonly points: readonly FlatPoint[];
  /** Last point joins the first. */
  readonly closed: boolean;
  /** Width of the paint, metres; 0 for the boards. Spots are filled discs. */
  readonly width: number;
}

const ARC_STEP = Math.PI / 36;

/** The rink from above, for drawing. An unknown key gives no lines. */
export function rinkLines(key: string): readonly RinkLine[] {
  const code = RINK_CODES.find((c) => c.key === key);
  return code ? [...wholeRink(code), ...([-1, 1] as const).flatMap((along) => oneEnd(code, along))] : [];
}

function wholeRink(code: RinkCode): RinkLine[] {
  return [
    { kind: "boards", points: boards(code), closed: true, width: 0 },
    acrossLine(code, "centre line", 0, code.wideLineWidth),
    circle(code, 0, 0),
    disc(0, 0, code.centreSpotDiameter),
    {
      kind: "crease",
      points: arc(0, -code.width / 2, code.refereeCreaseRadius, 0, Math.PI),
      closed: false,
      width: code.circleLineWidth,
    },
  ];
}

function oneEnd(code: RinkCode, along: 1 | -1): RinkLine[] {
  const spots = ([1, -1] as const).flatMap((side) => [
    disc(along * code.neutralSpotX, side * code.spotY, code.spotDiameter),
    disc(along * code.endSpotX, side * code.spotY, code.spotDiameter),
    circle(code, along * code.endSpotX, side * code.spotY),
  ]);
  return [
    acrossLine(code, "blue line", along * code.blueLineCentreX, code.wideLineWidth),
    acrossLine(code, "goal line", along * code.goalLineX, code.goalLineWidth),
    ...spots,
    crease(code, along),
  ];
}

function boards(code: RinkCode): FlatPoint[] {
  const r = code.cornerRadius;
  const [x, y] = [code.length / 2 - r, code.width / 2 - r];
  return [
    ...arc(x, y, r, 0, Math.PI / 2),
    ...arc(-x, y, r, Math.PI / 2, Math.PI),
    ...arc(-x, -y, r, Math.PI, 1.5 * Math.PI),
    ...arc(x, -y, r, 1.5 * Math.PI, 2 * Math.PI),
  ];
}

/** From boards to boards, also where these are round. */
function acrossLine(code: RinkCode, kind: RinkLine["kind"], x: number, width: number): RinkLine {
  const r = code.cornerRadius;
  const intoCorner = Math.max(0, Math.abs(x) - (code.length / 2 - r));
  const y = code.width / 2 - r + Math.sqrt(r * r - intoCorner * intoCorner);
  return {
    kind,
    points: [
      { x, y },
      { x, y: -y },
    ],
    closed: false,
    width,
  };
}

/** The rule books give a circle's radius to its outer edge; the paint's middle lies half a line inside. */
function circle(code: RinkCode, x: number, y: number): RinkLine {
  const radius = code.circleRadius - code.circleLineWidth / 2;
  return {
    kind: "circle",
    points: arc(x, y, radius, 0, 2 * Math.PI).slice(1),
    closed: true,
    width: code.circleLineWidth,
  };
}

function disc(x: number, y: number, diameter: number): RinkLine {
  return { kind: "spot", points: arc(x, y, diameter / 2, 0, 2 * Math.PI).slice(1), closed: true, width: 0 };
}

function crease(code: RinkCode, along: 1 | -1): RinkLine {
  const half = code.creaseHalfWidth;
  const opening = Math.asin(half / code.creaseRadius);
  // Drawn for the end with negative x, then turned for the other.
  const round = arc(0, 0, code.creaseRadius, opening, -opening);
  const points = [{ x: 0, y: half }, ...round, { x: 0, y: -half }].map((p) => ({
    x: along * (code.goalLineX - p.x),
    y: p.y,
  }));
  return { kind: "crease", points, closed: true, width: code.circleLineWidth };
}

function arc(x: number, y: number, radius: number, from: number, to: number): FlatPoint[] {
  const steps = Math.max(2, Math.ceil(Math.abs(to - from) / ARC_STEP));
  return Array.from({ length: steps + 1 }, (_, k) => {
    const angle = from + ((to - from) * k) / steps;
    return { x: x + radius * Math.cos(angle), y: y + radius * Math.sin(angle) };
  });
}
