import { createHash } from "node:crypto";
import { dirname, join } from "node:path";
import { MARKS_PREFIX } from "../../src/study/journal.ts";
import { idAsFileName } from "./safeName.ts";

/** Where things lie in a study folder. */
export function places(folder: string) {
  const marks = (trial: string) => join(folder, "marks", `${idAsFileName(trial)}.json`);
  const lastGoodMarks = (trial: string) => join(folder, "last-good", "marks", `${idAsFileName(trial)}.json`);
  const study = join(folder, "study.json");
  const lastGoodStudy = join(folder, "last-good", "study.json");
  return {
    study,
    marksFolder: join(folder, "marks"),
    marks,
    lastGood: join(folder, "last-good"),
    lastGoodStudy,
    lastGoodMarks,
    clips: join(folder, "clips"),
    cache: join(folder, "cache"),
    damaged: join(folder, "damaged"),
    conflicts: join(folder, "conflicts"),
    position: join(folder, "cache", "position.json"),
    /** File and last good copy of a document by its name in the journal, `study` or `marks/TRIAL`. */
    document: (name: string) =>
      name === "study"
        ? { file: study, lastGood: lastGoodStudy }
        : { file: marks(trialOf(name)), lastGood: lastGoodMarks(trialOf(name)) },
  };
}

function trialOf(name: string): string {
  return name.startsWith(MARKS_PREFIX) ? name.slice(MARKS_PREFIX.length) : "";
}

/** Older good copies lie beside the last one, numbered: by number, not by time, which a clock set back would mix up. */
export function olderFolder(lastGood: string): string {
  return join(dirname(lastGood), "older");
}

/** A time as part of a file's name. */
export function stamp(now: Date): string {
  return now.toISOString().replace(/[:.]/g, "-");
}

/** @returns 64 hexadecimal digits; a text is hashed as UTF-8, as it is written */
export function sha256(content: string | Uint8Array): string {
  return createHash("sha256").update(content).digest("hex");
}
