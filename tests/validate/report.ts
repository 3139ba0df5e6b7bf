import { VIEWS } from "./placements.ts";
import { ARM_CELLS, canBe, DEMANDS, missed, type Row, rowOf, type Tally } from "./tally.ts";

/** Quantities in the order they are printed. */
const QUANTITIES = [
  "stride_width_m",
  "touchdown_to_track_midline_m",
  "blade_separation_m",
  "stride_rate_hz",
  "half_width_m",
  "recovery_to_midline_m",
  "touchdown_to_midline_m",
  "arm_swing_direction_deg",
  "arm_swing_angle_deg",
  "stride_length_m",
  "recovery_time_s",
  "blade_off_s",
  "blade_on_s",
  "first touchdown_to_track_midline_m",
  "mean stride_width_m",
  "mean touchdown_to_track_midline_m",
  "mean blade_separation_m",
  "mean half_width_m",
  "mean recovery_to_midline_m",
  "mean touchdown_to_midline_m",
  "mean arm_swing_direction_deg",
  "mean arm_swing_angle_deg",
];

/** Factor and unit in which a quantity is printed. */
function unitOf(quantity: string): readonly [number, string] {
  if (quantity.endsWith("_m")) return [100, "cm"];
  if (quantity.endsWith("_s")) return [1000, "ms"];
  return quantity.endsWith("_deg") ? [1, "deg"] : [1, "/s"];
}

const HEADING =
  "quantity                             view            n  refused    bias      SD  SD/CRB (n)       u95   covered          misses";

/** The table of one regime. Demands hold for the rows over all placements; `(…)` marks a view that would miss them. */
export function table(tally: Tally, detail: boolean): { text: string; failed: string[] } {
  const lines = [HEADING];
  const failed: string[] = [];
  for (const quantity of QUANTITIES) {
    const keys = [quantity, ...VIEWS.map((view) => `${quantity}|${view}`)];
    if (detail)
      keys.push(
        ...[...tally.keys()].filter((k) => k.startsWith(`${quantity}|`) && k.split("|").length === 3),
      );
    const cells = quantity.includes("arm_") ? ARM_CELLS.map((cell) => `${quantity}|${cell}`) : [];
    keys.push(...cells.filter((cell) => !keys.includes(cell)));
    for (const key of keys) {
      const sums = tally.get(key);
      if (!sums) continue;
      const [, view = "", place = ""] = key.split("|");
      const row = rowOf(sums);
      const misses = missed(row, DEMANDS[quantity]);
      const asked = DEMANDS[quantity]?.coverage;
      if (asked && cells.includes(key) && !canBe(row, asked)) failed.push(`${key}: coverage`);
      if (key === quantity) failed.push(...misses.map((what) => `${quantity}: ${what}`));
      const label = key === quantity ? "ALL" : `${view} ${place}`.trim();
      lines.push(line(quantity, label, row, key === quantity ? misses : misses.map((m) => `(${m})`)));
    }
  }
  return { text: lines.join("\n"), failed };
}

function line(quantity: string, view: string, row: Row, misses: readonly string[]): string {
  const [factor, unit] = unitOf(quantity);
  const percent = (x: number, digits = 1) => (100 * x).toFixed(digits);
  const show = (x: number) => (row.n === 0 ? "-" : (factor * x).toFixed(2));
  const covered =
    row.n === 0 ? "-" : `${percent(row.coverage)} (${percent(row.coverageFrom)}-${percent(row.coverageTo)})`;
  return [
    `${quantity.replace(/_(m|s|hz|deg)$/, "")} ${unit}`.padEnd(37),
    view.padEnd(10),
    String(row.n).padStart(7),
    `${percent(row.refused, 0)} %`.padStart(7),
    show(row.bias).padStart(8),
    show(row.sd).padStart(8),
    (row.overBound === null ? "" : `${row.overBound.toFixed(3)} (${row.boundN})`).padStart(13),
    show(row.u95).padStart(7),
    ` ${covered}`.padEnd(19),
    ` ${misses.join(" ")}`,
  ]
    .join("")
    .trimEnd();
}
