import { SEASONS, seasonShares } from "../pool/nullSeasons.ts";
import { CLIP_EVENINGS, clipEvenings } from "./clipEvenings.ts";
import { modelMisses } from "./nullCells.ts";
import { DAYS, shares } from "./nullDesigns.ts";

/** `npm run calibrate [STUDIES [PART]]`: what is claimed where techniques make no difference, per cent, as tables: of one study, of a season. */
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
  const evenings = CLIP_EVENINGS.filter(({ name }) => wanted.test(name));
  if (evenings.length > 0) {
    console.log(`Evenings timed by clips: intervals that hold the truth, and claims, of ${studies}, %`);
    console.log("   clip    these     each  general  settled  any skater  evening");
    for (const evening of evenings) {
      const { held, settled: claimed, verdict: called } = clipEvenings(evening, studies, 29);
      const cells = [held.clip, held.these, held.each, held.general, claimed, called];
      console.log(`${cells.map((v) => (100 * v).toFixed(1).padStart(7)).join("  ")}     ${evening.name}`);
    }
  }
  const seasons = SEASONS.filter(({ name }) => wanted.test(name));
  if (seasons.length === 0) return;
  console.log(`Seasons, pooled: share of ${studies} settled, and intervals that hold the truth, %`);
  console.log("settled     mean  new skater  new evening  season");
  for (const season of seasons) {
    const s = seasonShares(season, studies, 5000 + SEASONS.indexOf(season));
    const cells = [s.settled, s.mean, s.newSkater, s.newStudy].map((v, k) =>
      v.toFixed(1).padStart([7, 7, 10, 11][k]!),
    );
    console.log(`${cells.join("  ")}  ${season.name}`);
  }
}
