import type { Comparison, Conclusion } from "./types.ts";

type Judged = Omit<Comparison, "conclusion" | "warnings" | "model" | "modelWithPlace">;

/** Share of null studies that may be called anything. */
const ALPHA = 0.05;

export function conclude(c: Judged): Conclusion {
  if (c.n === 0) return "nobody";
  if (c.n === 1) return "one skater";
  if (c.order.kind === "one-sided") return "order";
  const verdicts = new Set(c.pairs.map((p) => p.verdict));
  if (verdicts.size > 1 && opposite(verdicts) && (c.response.value === null || c.response.p <= ALPHA))
    return "depends";
  if (settled(c)) return "settled";
  if (alike(c)) return "alike";
  return clearForThese(c) ? "these" : "open";
}

function opposite(verdicts: ReadonlySet<string>): boolean {
  return (verdicts.has("faster") && verdicts.has("slower")) || (verdicts.has("less") && verdicts.has("more"));
}

/** Both tests, and the interval that repeats allow; where the order leans, also without a steady change. */
function settled(c: Judged): boolean {
  if (c.meanDifference.value === null || (c.smallestPSignFlip.value ?? 1) > ALPHA) return false;
  const passes = [c.pT.value, c.pSignFlip.value].every((p) => p === null || p <= ALPHA);
  if (!passes || (c.general.value !== null && Math.abs(c.general.value) <= c.general.u95)) return false;
  if (c.order.kind === "balanced") return true;
  const { steady } = c.order;
  return (
    steady.value !== null && Math.abs(steady.value) > steady.u95 && steady.value * c.meanDifference.value > 0
  );
}

function alike(c: Judged): boolean {
  const { smallestWorthwhile: worth, general, equivalence, order, these } = c;
  if (worth.value === null || worth.from !== "said" || general.value === null) return false;
  const within = (e: { readonly value: number; readonly u95: number }) =>
    Math.abs(e.value) + e.u95 < worth.value;
  // Fewer than six skaters: only what their repeats show, and only of them.
  const few = (c.smallestPSignFlip.value ?? 1) > ALPHA;
  if (few ? these.value === null || !within(these) : equivalence.value === null || equivalence.value > ALPHA)
    return false;
  if (!within(general)) return false;
  return order.kind === "balanced" || (order.steady.value !== null && within(order.steady));
}

function clearForThese(c: Judged): boolean {
  if (c.these.value === null || Math.abs(c.these.value) <= c.these.u95) return false;
  if (c.order.blocks) return false;
  if (c.order.kind === "balanced") return true;
  const { orderEffect: change, these } = c;
  if (change.value === null || "why" in change.ci95) return false;
  const lag = c.order.bLaterBy;
  const left = these.value - change.value * lag;
  const doubt = ((change.ci95[1] - change.ci95[0]) / 2) * lag;
  return left * these.value > 0 && Math.abs(left) > Math.hypot(these.u95, doubt);
}
