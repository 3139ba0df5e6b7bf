import { type Pinhole, pinhole } from "./pinhole.ts";

/** Where cameras stand in the checks (x, y, height): around a lane along x, looking at its middle 18 m from the start. */
export const CAMERA_PLACES = {
  facing: [33, 0.3, 3],
  behind: [3, -0.4, 3],
  diagonal: [10, -8.5, 3],
  side: [18, -10.5, 3.5],
} as const;

export type Placement = keyof typeof CAMERA_PLACES;

const looking = (place: Placement): Pinhole => pinhole(CAMERA_PLACES[place], [18, 0], 65);

export const PLACEMENTS: Readonly<Record<Placement, Pinhole>> = {
  facing: looking("facing"),
  behind: looking("behind"),
  diagonal: looking("diagonal"),
  side: looking("side"),
};

/** Stretch of the lane that the ice points cover, metres. */
export const ZONE = [12.6, 23.4] as const;
