import type { TrialQuantity } from "../quantities/catalogue.ts";
import type { Band } from "../study/types.ts";

/** A band by a word that coaches have for it. */
export interface OfferedBand {
  readonly word: string;
  readonly min?: number;
  readonly max?: number;
}

/**
 * Bands a coach may start from. Directions: thirds of the quarter turn from straight along to straight across, which one
 * view tells apart (docs/precision.md 1). Recoveries: those of the demo, on either side of half way between recoveries that
 * lie 25 cm apart (docs/precision.md 0). [judgement: meant to be changed]
 */
const OFFERED: Partial<Readonly<Record<TrialQuantity, readonly OfferedBand[]>>> = {
  arm_swing_direction_deg: [
    { word: "along, forward and back", max: 30 },
    { word: "diagonal", min: 30, max: 60 },
    { word: "across, side to side", min: 60 },
  ],
  touchdown_to_track_midline_m: [
    { word: "close", max: 0.12 },
    { word: "open", min: 0.18 },
  ],
  recovery_to_midline_m: [
    { word: "close", max: 0.1 },
    { word: "open", min: 0.18 },
  ],
};

export function offeredBands(quantity: Band["quantity"]): readonly OfferedBand[] {
  return (OFFERED as Readonly<Record<string, readonly OfferedBand[] | undefined>>)[quantity] ?? [];
}

/** The band with the edges of one that is offered. */
export function withEdges({ quantity }: Band, { min, max }: OfferedBand): Band {
  return { quantity, ...(min !== undefined && { min }), ...(max !== undefined && { max }) };
}
