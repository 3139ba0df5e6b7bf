import { MeasureError } from "../../src/errors.ts";
import type { ScaleReference } from "../../src/ice/fitScale.ts";
import { lensByLines } from "../../src/ice/lines/lensByLines.ts";
import { readStraightLinesCsv } from "../../src/study/linesTable.ts";
import type { Picture } from "../../src/study/types.ts";
import { maySeeLearned, throughLearned } from "../../src/trials/learnedLens.ts";
import { learnedOf } from "../../src/trials/lensOfLines.ts";
import { readTableFile } from "./tables.ts";

interface LinesOption {
  /** `--lines`, where it is given. */
  readonly file: string | undefined;
  readonly reference: ScaleReference | null;
  readonly picture: Picture;
  readonly markSdPx: number;
}

/** The reference through the lens that straight lines tell; they are refused where they tell none. */
export async function throughLines(
  { file, reference, picture, markSdPx }: LinesOption,
  ownRows: (text: string) => string,
): Promise<ScaleReference | null> {
  if (file === undefined || !reference || !maySeeLearned(reference)) return reference;
  const lines = await readTableFile(file, (text) => readStraightLinesCsv(ownRows(text)));
  const told = lensByLines(lines, picture, markSdPx);
  const learned = learnedOf(told);
  if (!learned) {
    const why = "why" in told.lens ? told.lens.why : "";
    throw new MeasureError("bad-lines", `--lines tells no lens: ${why}`, why);
  }
  return throughLearned({ reference, trial: "clip", setup: null, picture, markSdPx }, learned);
}
