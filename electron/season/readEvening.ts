import { basename } from "node:path";
import type { Evening } from "../../src/pool/poolStudies.ts";
import type { SkaterEvening } from "../../src/pool/skaterSeason.ts";
import { type SharedMeans, withSharedTimes } from "../../src/report/sharedStudy.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { withClipTimes } from "../../src/trials/clipTime.ts";
import { countedReadings } from "../../src/trials/countedReadings.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { realDisk } from "../disk/disk.ts";
import { readStudy } from "../vault/openStudy.ts";
import { readSharedMeans } from "../vault/sharedMeans.ts";

/** A study as one evening of a season, for the pooled answer and for a skater's page. */
export type SeasonEvening = Evening & SkaterEvening;

/**
 * @param whole the study as a window has it; absent = as it is on the disk, read as any study is that is opened
 * @param tell hears what is odd about the folder
 */
export async function readEvening(
  folder: string,
  name: string,
  tell: (notice: string) => void,
  whole?: WholeStudy,
): Promise<SeasonEvening> {
  const shared = () => readSharedMeans(folder, realDisk(folder));
  if (whole) return eveningOf(name, whole, await shared());
  const read = await readStudy(folder, new Date());
  for (const notice of read.notices) tell(`${name}: ${notice}`);
  return eveningOf(name, read.whole, await shared());
}

function eveningOf(name: string, whole: WholeStudy, shared: SharedMeans["trials"] | null): SeasonEvening {
  const counted = countedReadings(whole, measuredOnce(whole));
  const only = (value: number | null | undefined) =>
    value === null || value === undefined ? null : { value, left: null, right: null };
  const ofTrial: SeasonEvening["ofTrial"] = (trial, quantity) => {
    if (quantity === "time_s") return only(trial.time);
    if (shared) return only(shared[trial.id]?.[quantity]);
    const reading = counted(trial.id);
    const found = reading.ok ? reading.value.trial[quantity] : null;
    if (!found || "why" in found) return null;
    const { left, right } = found;
    return {
      value: found.mean,
      left: "why" in left ? null : left.mean,
      right: "why" in right ? null : right.mean,
    };
  };
  const study = withSharedTimes(withClipTimes(whole).study, shared);
  return { name, study, nameless: shared !== null, date: whole.study.date ?? null, ofTrial };
}

/** Each folder's own name, or its path where two are called alike. */
export function shortNames(folders: readonly string[]): string[] {
  const times = new Map<string, number>();
  for (const folder of folders) times.set(basename(folder), (times.get(basename(folder)) ?? 0) + 1);
  return folders.map((folder) => (times.get(basename(folder)) === 1 ? basename(folder) : folder));
}
