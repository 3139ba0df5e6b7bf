import type { Grey } from "./pixels.ts";

export interface At {
  readonly x: number;
  readonly y: number;
}

/** A blade a person has confirmed, in its own picture. */
export interface KnownBlade {
  readonly frame: number;
  readonly heel: At;
  readonly toe: At;
  /** The picture about it. */
  readonly picture: Grey;
  /** The body's size in that frame, px. */
  readonly size: number;
}

type Ends = Pick<KnownBlade, "heel" | "toe" | "size">;

/**
 * What lies on the ice along the line of sight looks shorter with the square of the distance, so it grows with the square of
 * the body's size (a pinhole camera that looks along the ice: down = focal length x camera height / distance). What stands up
 * grows with the size; a blade in the air has something of both. [judgement]
 */
const GROWS = { onIce: 2, inAir: 1.5 } as const;

/**
 * From heel to toe of a blade where the body has a size, px, as known ones look: by least squares, each known one as exactly
 * marked. Across the picture it grows with the size.
 */
export function heelToToe(known: readonly Ends[], onIce: boolean, size: number): At {
  const at = (c: "x" | "y", power: number) => {
    let [sum, squares] = [0, 0];
    for (const { heel, toe, size: there } of known) {
      sum += (toe[c] - heel[c]) * there ** power;
      squares += there ** (2 * power);
    }
    return (sum / squares) * size ** power;
  };
  return { x: at("x", 1), y: at("y", onIce ? GROWS.onIce : GROWS.inAir) };
}

export function middleOf({ heel, toe }: Pick<Ends, "heel" | "toe">): At {
  return { x: (heel.x + toe.x) / 2, y: (heel.y + toe.y) / 2 };
}
