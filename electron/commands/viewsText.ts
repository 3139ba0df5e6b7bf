import { formatReading } from "../../src/uncertainty/format.ts";
import type { ViewSummary } from "../../src/views/types.ts";

/** How each view's clock lies to the first's, a line each. */
export function viewsText(views: readonly ViewSummary[]): string {
  const lines = views.map(({ view, scale, offset, rate, shared }) => {
    const scaled = scale ? "" : " No scale of the ice.";
    if (view === 1) return `View 1: its clock counts.${scaled}`;
    return `View ${view}: add ${formatReading(offset, "s")} to its clock; it runs ${formatReading(rate, "")} times as fast; ${shared} ${shared === 1 ? "stride" : "strides"} shared with view 1.${scaled}`;
  });
  return ["Several views of one trial", ...lines].join("\n");
}
