/** The study about arms, as a coach would have left it on the evening itself. Renders nothing. */
import type { Study, Trial, TrialClip } from "../../src/study/types.ts";
import { ARMS_CLIPS, type ArmsId, armsRun, CLOCK, MISTYPED, SWINGERS } from "./armsEvening.ts";
import { clipLink, MEASURED_LANE, photocellTime, skater } from "./coach.ts";
import { trialOf } from "./people.ts";
import { makeRun } from "./run.ts";

/** Four rounds of four; half of the skaters in the order ABBA, the others BAAB. */
function trials(linked: ReadonlySet<string>): Trial[] {
  const list = SWINGERS.flatMap((person, i) => {
    const rounds: ArmsId[] =
      i % 2 === 0 ? ["along", "across", "across", "along"] : ["across", "along", "along", "across"];
    return rounds.map((technique, round): Trial => {
      const repeat = round < 2 ? 1 : 2;
      const id = `${person.id}-${technique}-${repeat}`;
      const clip = ARMS_CLIPS.find((c) => trialOf(c) === id && linked.has(c.name));
      return {
        ...{ id, skater: person.id, technique, repeat, order: SWINGERS.length * round + i + 1 },
        time:
          id === MISTYPED.trial
            ? MISTYPED.typed
            : photocellTime(makeRun(armsRun(person.id, technique, repeat))),
        valid: true,
        ...(clip ? { clip: clip.name } : {}),
        ...further(id, linked),
        speedFactor: 1,
      };
    });
  });
  return list.sort((a, b) => a.order - b.order);
}

/** From the bench at the same time, and of one trial the timing display, which was read. */
function further(trial: string, linked: ReadonlySet<string>): Pick<Trial, "clips"> {
  const bench = `${trial}-bench`;
  const clock = CLOCK.trial === trial && linked.has(CLOCK.name);
  const clips: TrialClip[] = [
    ...(linked.has(bench) ? [{ clip: bench, role: "view" as const, id: bench }] : []),
    ...(clock
      ? [{ clip: CLOCK.name, role: "clock" as const, frame: CLOCK_FRAME, shows: MISTYPED.display }]
      : []),
  ];
  return clips.length > 0 ? { clips } : {};
}

/** A frame that shows the display when it has stopped. */
const CLOCK_FRAME = 90;

/** `hipHeights`: mean height of each person's mid-hip over their runs, by id. */
export function armsStudy(home: string, hipHeights: ReadonlyMap<string, number>): Study {
  const clips = [...ARMS_CLIPS, CLOCK].flatMap((c) => clipLink(c, home));
  return {
    format: "blademark.study",
    version: 1,
    question: "Arms along or arms across: which is faster over 30 m?",
    lane: MEASURED_LANE,
    skaters: SWINGERS.map((p) => skater(p, hipHeights.get(p.id)!)),
    techniques: [
      { id: "along", name: "arms along", asked: [{ quantity: "arm_swing_direction_deg", max: 30 }] },
      { id: "across", name: "arms across", asked: [{ quantity: "arm_swing_direction_deg", min: 45 }] },
    ],
    trials: trials(new Set(clips.map((c) => c.id))),
    clips,
    markSdPx: 1.5,
    worthwhile: 0.04,
    compare: { a: "across", b: "along" },
  };
}
