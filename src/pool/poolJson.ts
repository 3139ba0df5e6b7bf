import type { CompareQuantity } from "../quantities/compared.ts";
import { poolConclusion } from "./poolConclusion.ts";
import { eveningMean, leaveOneOut, poolDifferences } from "./poolDifferences.ts";
import { poolOrder } from "./poolOrder.ts";
import type { Evening, PoolRows } from "./poolStudies.ts";

/** `pool --json`, exactly as in docs/contracts.md. */
export function poolJson(
  evenings: readonly (Evening & { readonly date: string | null })[],
  {
    a,
    b,
    quantity,
    looks = 1,
  }: { readonly a: string; readonly b: string; readonly quantity: CompareQuantity; readonly looks?: number },
  { rows, trials, warnings }: PoolRows,
) {
  const pooled = poolDifferences(rows);
  const order = poolOrder(rows, pooled);
  const conclusion = poolConclusion(pooled, order, looks);
  const or = <T>(then: (found: Exclude<typeof pooled, { value: null }>) => T) =>
    pooled.value === null ? pooled : then(pooled);
  return {
    format: "blademark.pool",
    version: 1,
    a,
    b,
    quantity,
    studies: evenings.map(({ name, date }) => {
      const own = rows.filter((r) => r.study === name);
      return { study: name, date, n: own.length, mean_difference: eveningMean(own) };
    }),
    skaters: new Set(rows.map((r) => r.skater)).size,
    trials,
    mean_difference: or((p) => ({ value: p.value, ci95: p.ci95 })),
    standard_error: or((p) => p.standardError),
    sd_between_studies: or((p) => p.sdBetweenStudies),
    sd_between_skaters: or((p) => p.sdBetweenSkaters),
    new_skater: or((p) => p.newSkater),
    new_study: or((p) => p.newStudy),
    leave_one_out: leaveOneOut(rows).map(({ without, pooled: rest }) =>
      rest.value === null ? { without, ...rest } : { without, value: rest.value, ci95: rest.ci95 },
    ),
    method: or((p) => p.method),
    order: order && { kind: order.kind, b_later_by: order.bLaterBy, without_steady_change: order.steady },
    looks,
    looks_interval: conclusion.interval,
    conclusion: conclusion.is,
    warnings,
  };
}

export type PoolJson = ReturnType<typeof poolJson>;
