import { MeasureError } from "../../../../src/errors.ts";
import { readLength, readSignedLength } from "../../../../src/study/length.ts";
import type { IceCandidate } from "./tool.ts";

export interface TypedPlace {
  readonly label: string;
  /** Along the lane from the start line; a minus before it lies behind the start. */
  readonly along: string;
  readonly across: string;
  readonly side: "left" | "middle" | "right";
  /** How well the place is known, half-width of 95 %; empty = 1 cm. */
  readonly known: string;
}

/**
 * A place typed in lane coordinates, each length in its own unit.
 *
 * @throws {MeasureError} `no-label`, `bad-length`
 */
export function readPlace(typed: TypedPlace, unit: "m" | "ft"): IceCandidate {
  const label = typed.label.trim();
  if (label === "") {
    throw new MeasureError(
      "no-label",
      "readPlace needs a label",
      "Give the place a name, for example “cone 3 left”.",
    );
  }
  const x = readSignedLength(typed.along, unit);
  const y = typed.side === "middle" ? 0 : readLength(typed.across, unit).metres;
  return { label, x, y: typed.side === "right" ? -y : y, u: readKnown(typed.known, unit) };
}

export interface TypedPairs {
  readonly from: string;
  readonly to: string;
  readonly every: string;
  readonly across: string;
}

/** Most pairs one would lay out by hand. */
const MOST_PAIRS = 40;

/**
 * Things laid in pairs along the lane, left and right of its middle.
 *
 * @throws {MeasureError} `bad-length`, `bad-pairs`
 */
export function readPairs(typed: TypedPairs, unit: "m" | "ft", known: string): readonly IceCandidate[] {
  const [from, to, every, across] = [typed.from, typed.to, typed.every, typed.across].map(
    (text) => readLength(text, unit).metres,
  ) as [number, number, number, number];
  const count = every > 0 ? Math.floor((to - from) / every + 1e-9) + 1 : 0;
  if (count < 1 || count > MOST_PAIRS || across <= 0) {
    throw new MeasureError(
      "bad-pairs",
      `readPairs needs 1..${MOST_PAIRS} pairs, got ${count}, ${across} m across`,
      "These numbers give no pairs. Write for example from 0 m to 30 m every 6 m, 1.5 m to each side.",
      { count },
    );
  }
  const u = readKnown(known, unit);
  return Array.from({ length: count }, (_, i) => from + i * every).flatMap((x) =>
    (["left", "right"] as const).map((side) => ({
      label: `${Number(x.toFixed(2))} m ${side}`,
      x: Number(x.toFixed(6)),
      y: side === "left" ? across : -across,
      u,
    })),
  );
}

/** Standard uncertainty from a typed 95 % half-width. */
export function readKnown(text: string, unit: "m" | "ft"): number {
  return readLength(text.trim() === "" ? "1 cm" : text, unit).metres / 2;
}
