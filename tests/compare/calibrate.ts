import { modelMisses } from "./nullCells.ts";
import { DAYS, shares } from "./nullDesigns.ts";

/** `npm run calibrate [STUDIES [PART]]`: what is claimed where techniques make no difference, per cent, as a table. */
export function main(args: readonly string[]): void {
  const studies = Number(args[0] ?? 2000);
  const wanted = new RegExp(args[1] ?? "");
  console.log(`Shares of ${studies} studies without a difference, %`);
  console.log("settled  these  any skater  depends  day");
  let [settled, verdict] = [0, 0];
  DAYS.forEach((day, i) => {
    if (!wanted.test(day.name)) return;
    const s = shares(day, studies, 1000 + i);
    settled = Math.max(settled, s.settled);
    verdict = Math.max(verdict, s.verdict);
    const cells = [s.settled, s.these, s.verdict, s.depends].map((v) => v.toFixed(1).padStart(7));
    console.log(`${cells.join("  ")}  ${day.name}`);
  });
  if (wanted.test("mixed model"))
    console.log(
      `mixed model's interval misses 0 in ${modelMisses(studies, 87).toFixed(1)} %, of which 5 is honest`,
    );
  console.log(`worst: settled ${settled.toFixed(1)}, any skater ${verdict.toFixed(1)}`);
}
