import { TRIAL_QUANTITIES } from "../../quantities/catalogue.ts";
import { type Names, typedText } from "../../study/labels.ts";
import type { WholeStudy } from "../../study/types.ts";
import { meantOf } from "../../trials/armsMeant.ts";
import { skaterSides } from "../../trials/skaterSides.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import { type Cell, number, type Table, text, whole } from "./table.ts";

/** `sides`: left and right of each skater with each technique, beside each other. */
export function sidesTable(study: WholeStudy, names: Names, readingOf: ReadingOf): Table {
  const techniques = study.study.techniques.map((t) => t.id);
  return {
    name: "sides",
    title:
      "Left and right beside each other: means over the valid trials of a skater and technique that have both sides",
    key: ["quantity", "skater", "technique"],
    refersTo: [{ column: "skater", table: "skaters", key: "skater" }],
    columns: [
      text("quantity", "column of `trials`", { required: true }),
      text("skater", "key of `skaters`", { required: true }),
      text("technique", "as in `techniques`", { required: true }),
      whole("n", "trials that have both sides", { required: true }),
      number("left", "mean of the left side, in the quantity's unit", ""),
      number(
        "left_u95",
        "half-width of its 95 % interval, for what was marked; not narrower with more trials",
        "",
      ),
      number("right", "mean of the right side", ""),
      number("right_u95", "half-width of its 95 % interval", ""),
      number("left_minus_right", "what both sides share is counted once in its interval", ""),
      number("left_minus_right_u95", "half-width of its 95 % interval", ""),
      number("left_minus_right_sd", "SD between trials; blank with one", ""),
      text("why", "why there is none"),
    ],
    rows: meantOf(study, TRIAL_QUANTITIES).flatMap((quantity) =>
      skaterSides(study.study, techniques, quantity, names, readingOf).map(
        ({ skater, technique, found }): Cell[] => {
          const who = [quantity, skater, typedText(study.study, technique, names)];
          if (found.value === null) return [...who, 0, ...new Array<null>(7).fill(null), found.why];
          const { left, right, leftMinusRight, n, sd } = found.value;
          const cells = [left, right, leftMinusRight].flatMap(({ value, u95 }) => [value, u95]);
          return [...who, n, ...cells, sd, null];
        },
      ),
    ),
  };
}
