/** Names that stand in the saved files; their types are in `types.ts`. */
export const SIDES = ["left", "right"] as const;

export const POINT_NAMES = ["blade_heel", "blade_toe", "hip", "shoulder", "elbow", "wrist"] as const;

export const EVENT_NAMES = ["blade_off", "blade_on", "recovery_min", "arm_front", "arm_back"] as const;
