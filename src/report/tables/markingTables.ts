import type { WholeStudy } from "../../study/types.ts";
import { markingReliability } from "../../trials/markingReliability.ts";
import { OF_TRIAL, TRIAL } from "./peopleTables.ts";
import { unitOf } from "./quantityColumns.ts";
import { type Cell, number, type Table, text, whole } from "./table.ts";

/** `marking_reliability` and `marking_readings`: how single strides repeat when a trial is marked again; none where none was. */
export function markingTables(study: WholeStudy, keys: ReadonlyMap<string, string>): Table[] {
  const found = markingReliability(study);
  if (!found) return [];
  return [
    {
      name: "marking_reliability",
      title: "How well single strides repeat when a trial is marked again without seeing the first marks",
      key: ["quantity"],
      columns: [
        text("quantity", "column of `strides`", { required: true }),
        text("unit", "of the quantity", { required: true }),
        whole("trials", "trials marked more than once", { required: true }),
        whole("markings", "markings of each", { required: true }),
        whole("strides", "strides that have it in every marking"),
        number("typical_error", "SD of one marking, in the quantity's unit", ""),
        number("typical_error_ci95_low", "lower end of its 95 % interval", ""),
        number("typical_error_ci95_high", "upper end of its 95 % interval", ""),
        number("limits_low", "first minus second marking, lower 95 % limit of agreement", ""),
        number("limits_high", "first minus second marking, upper 95 % limit of agreement", ""),
        number("icc_2_1", "single marking, absolute agreement", ""),
        number("icc_3_1", "single marking, consistency", ""),
        text("why", "why it could not be measured"),
      ],
      rows: found.quantities.map(({ quantity, found: of }): Cell[] => {
        const start = [quantity, unitOf(quantity), found.trials.length, found.markings];
        if (of.value === null) return [...start, ...Array<Cell>(8).fill(null), of.why];
        const { n, typicalError, limits, icc } = of.value;
        if (typicalError.value === null) return [...start, n, ...Array<Cell>(7).fill(null), typicalError.why];
        return [
          ...start,
          n,
          typicalError.value,
          ...typicalError.ci95,
          ...(limits.value === null ? [null, null] : [limits.value.low.value, limits.value.high.value]),
          ...(icc.value === null ? [null, null] : [icc.value.agreement.value, icc.value.consistency.value]),
          null,
        ];
      }),
    },
    {
      name: "marking_readings",
      title:
        "What each marking of a stride gives, by the first marking's strides; those that have it in every marking",
      key: ["quantity", "trial", "stride", "marking"],
      refersTo: OF_TRIAL,
      columns: [
        text("quantity", "column of `strides`", { required: true }),
        TRIAL,
        whole("stride", "number of the stride", { required: true }),
        whole("marking", "1, 2 … by pass and observer", { required: true }),
        number("value", "in the quantity's unit", ""),
      ],
      rows: found.quantities.flatMap(({ quantity, rows }) =>
        rows.flatMap(({ trial, stride, values }) =>
          values.map((value, k): Cell[] => [quantity, keys.get(trial) ?? trial, stride, k + 1, value]),
        ),
      ),
    },
  ];
}
