import { expect } from "vitest";
import { deviation, t975 } from "../../helpers/plainStatistics.ts";
import { holds, NUMBER, P, type Plain, says, saysP } from "./plainly.ts";

/** The rows under "The numbers" whose numbers are plain. */
export function numbers(rows: ReadonlyMap<string, string>, p: Plain): void {
  const get = (label: string) => [...rows].find(([l]) => l.startsWith(label))?.[1] ?? "";
  const mean = new RegExp(
    `^${NUMBER} ± ${NUMBER} s \\(${NUMBER} to ${NUMBER} s\\)( faster| slower)?(, or either way)?`,
  ).exec(get("Mean difference"));
  if (p.n >= 2 && p.pT !== null) {
    says(mean![1]!, p.mean, "mean");
    says(mean![2]!, p.general!, "half-width");
    if (mean![5]) expect(mean![5].trim()).toBe(p.mean < 0 ? "faster" : "slower");
    if (mean![5]) expect(mean![6] !== undefined).toBe(Math.abs(p.mean) <= p.general!);
    const t = new RegExp(`^${NUMBER}, ${P}$`).exec(get("t, "))!;
    says(t[1]!, (p.mean * t975(p.n - 1)) / p.half!, "t");
    saysP(t[2]!, p.pT, "p of t");
    says(
      new RegExp(`^${NUMBER} s$`).exec(get("SD of differences"))![1]!,
      deviation(p.pairs.map((x) => x.d)),
      "SD",
    );
  }
  if (p.n >= 1) {
    const flip = new RegExp(`^${P}`).exec(get("Sign-flip"));
    if (flip) saysP(flip[1]!, p.pFlip, "sign-flip");
  }
  const respond = get("How differently skaters respond");
  if (p.response) responded(respond, p.response);
  else if (p.n >= 1) expect(respond, "no SD of responses").not.toMatch(/\d s/);
  const error = new RegExp(`^${NUMBER} s \\(`).exec(get("Typical error"));
  // Repeats exactly alike, up to binary rounding, have one that nobody knows.
  expect(error !== null, get("Typical error")).toBe(p.error !== null && p.error.value > 1e-12);
  if (error) says(error[1]!, p.error!.value, "typical error");
}

/** SD between skaters of the true difference; never printed as 0.000. */
function responded(text: string, { sd, ci95 }: NonNullable<Plain["response"]>): void {
  const [low, high] = ci95;
  holds(text, [
    [/^none: the differences scatter less than the trials alone/, () => expect(high).toBe(0)],
    [
      new RegExp(`^none found; at most ${NUMBER} s$`),
      ([, most]) => {
        says(most!, high, text);
        expect(sd).toBeLessThanOrEqual(0.5 * 10 ** -most!.split(".")[1]!.length);
      },
    ],
    [
      new RegExp(`^${NUMBER} s \\(${NUMBER} to ${NUMBER} s\\)$`),
      ([, value, from, to]) => {
        expect(Number(value)).toBeGreaterThan(0);
        says(value!, sd, text);
        says(to!, high, text);
        if (from === "0") expect(low).toBeLessThanOrEqual(0.5 * 10 ** -to!.split(".")[1]!.length);
        else says(from!, low, text);
      },
    ],
  ]);
}
