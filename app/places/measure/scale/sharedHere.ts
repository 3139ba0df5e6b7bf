import type { Picture, WholeStudy } from "../../../../src/study/types.ts";
import { iceScale } from "../core/iceScale.ts";
import { type SharedScale, sharedScale } from "./scaleHere.ts";

/** What a trial's scale has from its camera set-up, and whether its clips give one at all. */
export function sharedHere(whole: WholeStudy, trial: string, picture: Picture | null): SharedScale | null {
  const shared = sharedScale(whole, trial);
  return shared && { ...shared, refused: iceScale(whole, trial, picture)?.ok === false };
}
