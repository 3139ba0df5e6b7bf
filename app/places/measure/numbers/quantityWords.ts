export interface QuantityWords {
  readonly name: string;
  readonly unit: string;
  /** One line, on hover and focus. */
  readonly meaning: string;
}

export const ARM_WORDS = {
  direction: {
    name: "Arm-swing direction",
    unit: "°",
    meaning: "Which way the wrist travels past the shoulder: 0° straight along the lane, 90° across it.",
  },
  angle: {
    name: "Arm-swing angle",
    unit: "°",
    meaning: "The angle the arm sweeps between its two extremes.",
  },
} as const;

export const SPEED_WORDS: QuantityWords = {
  name: "Along-track speed",
  unit: "m/s",
  meaning: "How fast the skater goes along the lane around this stride, in real time.",
};
