import { CATALOGUE, type CatalogueEntry, TRIAL_QUANTITIES, type TrialQuantity } from "./catalogue.ts";

/** What two techniques are compared in: the photocell time, or a trial's mean of a stride quantity. */
export type CompareQuantity = "time_s" | TrialQuantity;

export const COMPARE_QUANTITIES: readonly CompareQuantity[] = ["time_s", ...TRIAL_QUANTITIES];

export type QuantityWords = Pick<CatalogueEntry, "name" | "unit" | "more" | "less" | "meaning">;

export const QUANTITY_WORDS: Readonly<Record<CompareQuantity, QuantityWords>> = {
  time_s: {
    name: "time",
    unit: "s",
    more: "slower",
    less: "faster",
    meaning: "Photocell time over the lane.",
  },
  ...CATALOGUE,
};
