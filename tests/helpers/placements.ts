import { type Pinhole, pinhole } from "./pinhole.ts";

/** Where cameras stand in the checks: around a lane along x, looking at its middle 18 m from the start. */
export const PLACEMENTS: Readonly<Record<"facing" | "behind" | "diagonal" | "side", Pinhole>> = {
  facing: pinhole([33, 0.3, 3], [18, 0], 65),
  behind: pinhole([3, -0.4, 3], [18, 0], 65),
  diagonal: pinhole([10, -8.5, 3], [18, 0], 65),
  side: pinhole([18, -10.5, 3.5], [18, 0], 65),
};

/** Stretch of the lane that the ice points cover, metres. */
export const ZONE = [12.6, 23.4] as const;
