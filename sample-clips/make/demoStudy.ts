/**
 * The demo study, about recovery, as a coach would have left it. Needs the clips' files only for their size and content
 * hash; renders nothing.
 */
import type { Study, Trial } from "../../src/study/types.ts";
import { clipLink, MEASURED_LANE, photocellTime, skater } from "./coach.ts";
import { CLIPS, PEOPLE, type RecoveryId, runSpec, trialOf } from "./people.ts";
import { makeRun } from "./run.ts";

/** Four rounds of five; half of the skaters in the order ABBA, the others BAAB. */
function trials(linked: ReadonlySet<string>): Trial[] {
  const list = PEOPLE.flatMap((person, i) => {
    const first: RecoveryId[] = ["close", "open", "open", "close"];
    const rounds = i % 2 === 0 ? first : first.map((t) => (t === "close" ? "open" : "close") as RecoveryId);
    return rounds.map((technique, round): Trial => {
      const repeat = round < 2 ? 1 : 2;
      const run = makeRun(runSpec(person.id, technique, repeat));
      const clip = CLIPS.find((c) => trialOf(c) === run.spec.name && linked.has(c.name));
      return {
        id: run.spec.name,
        skater: person.id,
        ...{ technique, repeat, order: 5 * round + i + 1 },
        time: photocellTime(run),
        valid: true,
        ...(clip ? { clip: clip.name } : {}),
        speedFactor: clip ? clip.fps / clip.claimedFps : 1,
      };
    });
  });
  return list.sort((a, b) => a.order - b.order);
}

/** `hipHeights`: mean height of each person's mid-hip over their runs, by id. */
export function demoStudy(home: string, hipHeights: ReadonlyMap<string, number>): Study {
  const clips = CLIPS.flatMap((c) => clipLink(c, home));
  return {
    format: "blademark.study",
    version: 1,
    question: "Does open recovery beat close recovery over 30 m?",
    lane: MEASURED_LANE,
    skaters: PEOPLE.map((p) => skater(p, hipHeights.get(p.id)!)),
    techniques: [
      {
        id: "close",
        name: "close recovery",
        asked: [{ quantity: "touchdown_to_track_midline_m", max: 0.12 }],
      },
      { id: "open", name: "open recovery", asked: [{ quantity: "touchdown_to_track_midline_m", min: 0.18 }] },
    ],
    trials: trials(new Set(clips.map((c) => c.id))),
    clips,
    markSdPx: 1.5,
    worthwhile: 0.04,
    compare: { a: "close", b: "open" },
  };
}
