import type { EventFrame } from "../../study/types.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { otherSide } from "./across.ts";
import type { StrideEvents } from "./strideOrder.ts";

/** How a blade leaves or meets the ice. */
export type Contact = "blade_off" | "blade_on";

/** The frame picked for it. @throws {Unmeasurable} where a stride has no blade-on */
export function contactFrame(stride: StrideEvents, contact: Contact): EventFrame {
  if (contact === "blade_off") return stride.off;
  if (!stride.on) throw new Unmeasurable(noBladeOn(stride));
  return stride.on;
}

/** Tells a trial's contacts apart. */
export function contactNumber({ stride }: StrideEvents, contact: Contact): number {
  return 2 * stride + (contact === "blade_off" ? 0 : 1);
}

export function sameSideTwice(first: StrideEvents): string {
  return `The ${first.side} blade leaves the ice twice in a row: the ${otherSide(first.side)} blade's blade-off after frame ${first.off.frame} is missing.`;
}

export function noBladeOn(stride: StrideEvents): string {
  return `No blade-on of the ${stride.side} blade is marked after its blade-off in frame ${stride.off.frame}.`;
}
