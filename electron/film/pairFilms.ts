import { mkdir, rm } from "node:fs/promises";
import { join } from "node:path";
import { comparedTechniques } from "../../src/compare/compareStudy.ts";
import { MeasureError } from "../../src/errors.ts";
import { filmName } from "../../src/report/film/filmName.ts";
import { pairOfSkater } from "../../src/report/film/usualPair.ts";
import { type Names, skaterLabels } from "../../src/study/labels.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { tenths, withFilmTools } from "./filmTools.ts";
import { writeFilm } from "./writeFilm.ts";

const SLOW = 4;

/**
 * Each skater's two techniques side by side, a file a skater, into a folder of its own; skaters without are told of.
 *
 * @throws {MeasureError} `cancelled`, `disk-full`, `no-ffmpeg` …: what stops all of them
 */
export async function writePairFilms(
  whole: WholeStudy,
  studyFolder: string,
  folder: string,
  names: Names,
  say: (text: string) => void,
): Promise<void> {
  await rm(folder, { recursive: true, force: true });
  await mkdir(folder, { recursive: true });
  const techniques = comparedTechniques(whole.study);
  const labels = skaterLabels(whole.study, names);
  await withFilmTools(whole.study, studyFolder, async (tools, signal) => {
    for (const { id } of whole.study.skaters) {
      const trials = techniques && pairOfSkater(whole, id, techniques.a.id, techniques.b.id);
      if (!trials) {
        say(`No clip side by side of ${labels.get(id)}: there are no marked clips of both techniques.`);
        continue;
      }
      const name = filmName(whole.study, trials, names);
      try {
        const wish = { trials, moment: null, slow: SLOW, names };
        await writeFilm(whole, wish, join(folder, name), tools, { onProgress: tenths(say), signal });
        say(`Clip ${name} is written`);
      } catch (error) {
        // One skater's clip that is missing or can't be lined up stops no other's.
        if (!(error instanceof MeasureError) || !ONE_SKATERS.has(error.code)) throw error;
        say(`No clip side by side of ${labels.get(id)}: ${error.coach}`);
      }
    }
  });
}

const ONE_SKATERS: ReadonlySet<string> = new Set([
  "no-moment",
  "no-clip",
  "no-such-frame",
  "empty-film",
  "clip-failed",
  "frame-gone",
  "unknown-clip",
]);
