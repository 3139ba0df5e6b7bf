/** The places of the window by the names on its bar, in the order of the day. */
export const PLACE_NAMES = {
  plan: "Plan",
  times: "Times",
  measure: "Measure",
  compare: "Compare",
  report: "Report",
} as const;

export type Place = keyof typeof PLACE_NAMES;

export const PLACES = Object.keys(PLACE_NAMES) as Place[];
