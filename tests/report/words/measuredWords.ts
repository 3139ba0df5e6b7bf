import { expect } from "vitest";
import type { MadeUpStudy } from "../../helpers/madeUpStudy.ts";
import { count, NUMBER, plainly, RANGE, range, says } from "./plainly.ts";
import { support } from "./supportWords.ts";

/** Touchdowns in place of times, where there are none of these. */
export function measuredInstead([first, ...rest]: readonly string[], made: MadeUpStudy): void {
  const { study } = made.whole;
  const trials = study.trials.map((t) => ({ ...t, time: made.measured.get(t.id)?.touchdown ?? null }));
  const p = plainly({ ...made, whole: { ...made.whole, study: { ...study, trials, worthwhile: null } } });
  const found = new RegExp(
    `^Touchdown to track midline was (larger|smaller) with ${p.b}, by ${NUMBER} m on average \\(all (\\w+), ${RANGE} m\\)\\.$`,
  ).exec(first!);
  if (!found) expect.fail(`nobody checks: ${first}`);
  const [, way, size, all, by] = found!;
  expect(way).toBe(p.mean > 0 ? "larger" : "smaller");
  says(size!, Math.abs(p.mean), first!);
  expect(count(all!)).toBe(p.n);
  range(
    by!,
    p.pairs.map((x) => x.d * Math.sign(p.mean)),
    first!,
  );
  for (const sentence of rest) support(sentence.replace(/(\d) m\b/g, "$1 s"), p);
}
