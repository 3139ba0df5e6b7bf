/** Both evenings: a folder for each study, its clips, who skated, and what the coach left. */
import type { Study } from "../../src/study/types.ts";
import { ARMS_CLIPS, CLOCK } from "./armsEvening.ts";
import { armsStudy } from "./armsStudy.ts";
import type { ClockSpec } from "./clock.ts";
import { demoStudy } from "./demoStudy.ts";
import { CLIPS, type ClipSpec } from "./people.ts";

export interface Evening {
  readonly folder: string;
  readonly clips: readonly ClipSpec[];
  readonly clocks: readonly ClockSpec[];
  /** @param hipHeights true mean height of each person's mid-hip while sprinting, metres, by id */
  study(home: string, hipHeights: ReadonlyMap<string, number>): Study;
}

export const EVENINGS: readonly Evening[] = [
  { folder: "demo-study", clips: CLIPS, clocks: [], study: demoStudy },
  { folder: "arms-study", clips: ARMS_CLIPS, clocks: [CLOCK], study: armsStudy },
];

export const ALL_CLIPS: readonly ClipSpec[] = EVENINGS.flatMap((e) => e.clips);
