import { MOST, type PlannedQuantity } from "../../../../src/ice/placement/alongZone.ts";
import { formatNumber, placesFor, withUnit } from "../../../../src/uncertainty/format.ts";

export const QUANTITIES: readonly { readonly value: PlannedQuantity; readonly label: string }[] = [
  { value: "strideWidth", label: "Stride width" },
  { value: "touchdown", label: "Touchdown to track midline" },
  { value: "recovery", label: "Recovery to midline" },
  { value: "strideLength", label: "Stride length" },
  { value: "armForeAft", label: "Arm swing along the lane" },
  { value: "armAcross", label: "Arm swing across the lane" },
];

export function isArm(quantity: PlannedQuantity): boolean {
  return quantity === "armForeAft" || quantity === "armAcross";
}

export function unitOf(quantity: PlannedQuantity): string {
  return isArm(quantity) ? "°" : "cm";
}

/** In the shown unit, without it: "2.4". */
export function shownNumber(value: number, quantity: PlannedQuantity): string {
  const shown = isArm(quantity) ? (value * 180) / Math.PI : 100 * value;
  return formatNumber(shown, Math.max(0, placesFor(shown)));
}

/** A share of the widest u95 that is still shown: "± 5.5 cm". */
export function upToWords(quantity: PlannedQuantity, share: number): string {
  return withUnit(`± ${shownNumber(share * MOST[quantity], quantity)}`, unitOf(quantity));
}
