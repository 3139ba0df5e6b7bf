import { FOREARM_SHARE, LIMB_SPREAD, UPPER_ARM_SHARE } from "../../priors.ts";
import type { Warning } from "../../reading.ts";
import type { Body } from "../../study/types.ts";

/** People's limbs lie within so many SD of their share of stature; beyond, a length was mistyped or measured elsewhere. */
const MOST_SD = 5;
/** Height of the hip standing upright, as a share of stature. @see Drillis and Contini (1966) */
const STANDING_HIP_SHARE = 0.53;

/** Body lengths that do not go together. Arm angles rest on them, and nothing in the picture shows them wrong. */
export function bodyWarnings({ upperArm, forearm, stature, hipHeight }: Body): Warning[] {
  const cm = (metres: number) => `${(100 * metres).toFixed(0)} cm`;
  const warnings: Warning[] = [];
  const warn = (code: Warning["code"], text: string) => warnings.push({ code, text });
  if (upperArm !== undefined && forearm !== undefined && forearm >= upperArm)
    warn(
      "limbs-exchanged",
      `The forearm (elbow to wrist) is given as ${cm(forearm)} and the upper arm as ${cm(upperArm)}. Nobody's forearm is the longer: check whether the two have changed places.`,
    );
  if (stature === undefined) return warnings;
  for (const [name, length, share] of [
    ["upper arm", upperArm, UPPER_ARM_SHARE],
    ["forearm", forearm, FOREARM_SHARE],
  ] as const) {
    if (length === undefined || Math.abs(length / (share * stature) - 1) <= MOST_SD * LIMB_SPREAD) continue;
    warn(
      "limb-unlike-stature",
      `A skater of ${cm(stature)} has ${name === "forearm" ? "a forearm" : "an upper arm"} of about ${cm(share * stature)}; ${cm(length)} is given. Check both: arm angles rest on them.`,
    );
  }
  if (hipHeight !== undefined && hipHeight >= STANDING_HIP_SHARE * stature)
    warn(
      "hip-height-standing",
      `A hip height of ${cm(hipHeight)} is that of a skater of ${cm(stature)} who stands upright. Give it as it is in the crouch, while skating.`,
    );
  return warnings;
}
