import type { Names } from "../../study/labels.ts";
import type { Study } from "../../study/types.ts";
import { trialKeys } from "../tables/keys.ts";

/** A name for the file of a film: "aino-close-1-and-aino-open-1.mp4". */
export function filmName(study: Study, trials: readonly string[], names: Names): string {
  const keys = trialKeys(study, names);
  return `${trials.map((t) => keys.get(t) ?? t).join("-and-")}.mp4`;
}
