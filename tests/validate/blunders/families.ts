import { ARM_BLUNDERS } from "./arms.ts";
import { BLADE_BLUNDERS } from "./blades.ts";
import type { Blunder } from "./blunder.ts";
import { CAMERA_BLUNDERS } from "./cameras.ts";
import { ICE_POINT_BLUNDERS } from "./icePoints.ts";
import { MARKING_BLUNDERS } from "./marking.ts";
import { RECHECK_BLUNDERS } from "./rechecks.ts";
import { SCALE_BLUNDERS } from "./scales.ts";
import { UNUSUAL_SKATERS } from "./skaters.ts";

/** Nobody is mistaken: what this row tells or refuses is a false alarm. */
const NONE: Blunder = {
  name: "no mistake",
  unseen: "nothing to see",
  harmless: true,
  spoil: (film) => film,
};

/** Every family of mistakes, in the order of the table. */
export const BLUNDERS: readonly Blunder[] = [
  NONE,
  ...ICE_POINT_BLUNDERS,
  ...SCALE_BLUNDERS,
  ...CAMERA_BLUNDERS,
  ...RECHECK_BLUNDERS,
  ...BLADE_BLUNDERS,
  ...MARKING_BLUNDERS,
  ...ARM_BLUNDERS,
  ...UNUSUAL_SKATERS,
];
