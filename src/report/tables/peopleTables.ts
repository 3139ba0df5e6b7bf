import { type Names, skaterLabels, techniqueLabels, typedText } from "../../study/labels.ts";
import type { WholeStudy } from "../../study/types.ts";
import { type Cell, number, type Table, text, whole, yesNo } from "./table.ts";

/** `skaters` and `techniques`: who, and what they were asked to do. */
export function skatersTable({ study }: WholeStudy, names: Names): Table {
  const labels = skaterLabels(study, names);
  return {
    name: "skaters",
    title: "Who skated",
    key: ["skater"],
    columns: [
      text("skater", "what the skater is called in all tables", { required: true }),
      number("hip_height_m", "crouched hip height while sprinting", "m"),
      number("upper_arm_m", "shoulder to elbow", "m"),
      number("forearm_m", "elbow to wrist", "m"),
      number("stature_m", "standing height", "m"),
      number("blade_m", "length of the runner", "m"),
    ],
    rows: study.skaters.map(({ id, body }) => [
      labels.get(id) ?? id,
      body.hipHeight,
      body.upperArm,
      body.forearm,
      body.stature,
      body.blade,
    ]),
  };
}

export function techniquesTable({ study }: WholeStudy, names: Names): Table {
  const labels = techniqueLabels(study);
  return {
    name: "techniques",
    title: "What skaters were asked to do, one row a band",
    columns: [
      text("technique", "what it is called in all tables", { required: true }),
      text("quantity", "column of `trials` whose mean was to lie in the band"),
      number("min", "lower edge of the band, in the quantity's unit", ""),
      number("max", "upper edge of the band, in the quantity's unit", ""),
    ],
    rows: study.techniques.flatMap((t): Cell[][] => {
      const name = typedText(study, labels.get(t.id) ?? t.id, names);
      return t.asked.length === 0
        ? [[name, null, null, null]]
        : t.asked.map((b) => [name, b.quantity, b.min, b.max]);
    }),
  };
}

export const TRIAL = text("trial", "key of `trials`", { required: true });
export const STRIDE = whole("stride", "1, 2, 3 … in order of blade-off", { required: true });
export const SIDE = text("side", "the skater's own side", {
  required: true,
  choices: ["left", "right"],
});
export const OF_TRIAL = [{ column: "trial", table: "trials", key: "trial" }] as const;
export const VALID = yesNo("valid", "no: skated, but not to be used");
