import { describe, expect, it } from "vitest";
import { addFurtherClip } from "../../app/commands/clips/addFurtherClip.ts";
import { readClock } from "../../app/commands/clips/readClock.ts";
import { setClipRole } from "../../app/commands/clips/setClipRole.ts";
import { setSpeedFactor } from "../../app/commands/clips/setSpeedFactor.ts";
import { takeFurtherClipOff } from "../../app/commands/clips/takeFurtherClipOff.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import { viewsOf, viewWithId } from "../../src/study/trialViews.ts";
import type { ClipLink, WholeStudy } from "../../src/study/types.ts";
import { clockQuestion } from "../../src/trials/clockQuestion.ts";
import { emptyMarks } from "../../src/trials/trialInput.ts";
import { STUDY } from "../helpers/studyFolder.ts";

const link = (id: string): ClipLink => ({ id, name: `${id}.mp4`, path: `clips/${id}.mp4`, bytes: 1 });
const first = { ...STUDY.trials[0]!, clip: "front" };
const whole: WholeStudy = {
  study: { ...STUDY, clips: [link("front")], trials: [first, STUDY.trials[1]!] },
  marks: {},
};
const trial = (of: WholeStudy) => of.study.trials[0]!;
const withBench = addFurtherClip.run(whole, { trial: "t1", clip: link("bench"), role: "view" });

describe("further clips of a trial", () => {
  it("come into the study with the trial, a view with an id of its own, and the study stays readable", () => {
    expect(trial(withBench).clip).toBe("front");
    const [, bench] = viewsOf(trial(withBench));
    expect(bench).toMatchObject({ clip: "bench", skater: "aino", speedFactor: 1 });
    expect(bench!.id).not.toBe("t1");
    expect(parseStudy(JSON.parse(JSON.stringify(withBench.study)))).toEqual(withBench.study);
    expect(() => addFurtherClip.run(withBench, { trial: "t1", clip: link("front"), role: "look" })).toThrow(
      /has clip front/,
    );
  });

  it("have a speed factor of their own, which leaves the trial's as it is", () => {
    const { id } = viewsOf(trial(withBench))[1]!;
    const slow = setSpeedFactor.run(withBench, { trial: id, factor: 8 });
    expect([trial(slow).speedFactor, viewWithId(slow.study, id)!.speedFactor]).toEqual([1, 8]);
  });

  it("change what they are for, and are taken off, but not while something is marked on them", () => {
    const looked = setClipRole.run(withBench, { trial: "t1", clip: "bench", role: "look" });
    expect(viewsOf(trial(looked))).toHaveLength(1);
    expect(trial(takeFurtherClipOff.run(looked, { trial: "t1", clip: "bench" })).clips).toBeUndefined();
    const { id } = viewsOf(trial(withBench))[1]!;
    const event = { event: "blade_off", side: "left", frame: 3, time: 0.05 } as const;
    const marked = { ...withBench, marks: { [id]: { ...emptyMarks(id), events: [event] } } };
    const off = { trial: "t1", clip: "bench" };
    expect(() => setClipRole.run(marked, { ...off, role: "clock" })).toThrow(/has marks/);
    expect(() => takeFurtherClipOff.run(marked, off)).toThrow(/has marks/);
  });
});

describe("the clock of a trial", () => {
  const clocked = addFurtherClip.run(whole, { trial: "t1", clip: link("clock"), role: "clock" });
  const reading = { trial: "t1", clip: "clock", frame: 90 };

  it("keeps the frame and what is read there beside the typed time, which stays, and asks where they differ", () => {
    const read = readClock.run(clocked, { ...reading, text: "5,21" });
    expect(trial(read).clips).toEqual([{ clip: "clock", role: "clock", frame: 90, shows: 5.21 }]);
    expect(trial(read).time).toBe(5.12);
    expect(clockQuestion(trial(read))).toBe("The display shows 5.21, typed is 5.12. Which one is right?");
    expect(clockQuestion(trial(readClock.run(clocked, { ...reading, text: "5.12" })))).toBeNull();
    expect(clockQuestion(trial(readClock.run(read, { ...reading, text: "" })))).toBeNull();
    expect(() => readClock.run(clocked, { ...reading, text: "five" })).toThrow();
  });
});
