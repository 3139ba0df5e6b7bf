import { describe, expect, it } from "vitest";
import { likelyFrames } from "../../app/places/measure/guide/likelyFrames.ts";
import { goToFrame, step } from "../../app/places/measure/guide/steps.ts";
import {
  firstFrame,
  isDoubtful,
  knownEnd,
  lastFrame,
  readyRanges,
  timeOf,
} from "../../app/store/clipFrames.ts";
import { preparedShare, progressWords, queueWords } from "../../app/store/clipWords.ts";
import { createSession } from "../../app/store/session.ts";
import type { ClipIndex } from "../../src/study/exchange.ts";
import type { EventFrame } from "../../src/study/types.ts";
import { opened } from "./fakeStudy.ts";

/** Frames 0 to 9 are there, and 40 to 42 after a jump; four frames a second. */
const INDEX: ClipIndex = {
  ...{ clip: "c1", state: "preparing", ready: 10, count: 100, countIsExact: false, codec: "h264" },
  times: Array.from({ length: 10 }, (_, n) => n / 4),
  ahead: [{ from: 40, times: [10, 10.25, 10.5] }],
  doubtful: [
    [3, 5],
    [41, 42],
  ],
  ...{ part: null, width: 1920, height: 1080, rotation: 0, rateMedianHz: 4, variableRate: false },
  progress: { done: 13, of: 100, framesPerSecond: 20, secondsLeft: 4.35 },
  ...{
    queue: 0,
    note: null,
    asksPart: false,
    lasts: 25,
    turn: 0,
    warnings: [],
    failure: null,
    failureCode: null,
  },
  link: { state: "as-it-was", text: null, path: null, sha256: null, bytes: null },
};

describe("the frames of a clip", () => {
  it("are those in order and those after a jump, each with its own time", () => {
    expect(readyRanges(INDEX)).toEqual([
      [0, 10],
      [40, 43],
    ]);
    expect([9, 10, 39, 40, 42, 43].map((n) => timeOf(INDEX, n))).toEqual([
      2.25,
      undefined,
      undefined,
      10,
      10.5,
      undefined,
    ]);
    expect(timeOf(null, 0)).toBeUndefined();
  });

  it("are doubtful where the host says so and nowhere else", () => {
    expect([2, 3, 4, 5, 40, 41, 42].filter((n) => isDoubtful(INDEX, n))).toEqual([3, 4, 41]);
    expect(isDoubtful(null, 3)).toBe(false);
  });

  it("begin and end with the part that matters", () => {
    expect([firstFrame(INDEX), lastFrame(INDEX)]).toEqual([0, 99]);
    const part = { ...INDEX, part: { first: 20, last: 60 }, ready: 25 };
    expect([firstFrame(part), lastFrame(part)]).toEqual([20, 60]);
    expect(readyRanges(part)[0]).toEqual([20, 25]);
    expect([
      knownEnd(null),
      knownEnd(INDEX),
      knownEnd({ ...INDEX, countIsExact: true }),
      knownEnd(part),
    ]).toEqual([Infinity, Infinity, 99, 60]);
    // None of the part is ready yet.
    expect(readyRanges({ ...part, ready: 0, ahead: [] })).toEqual([]);
  });
});

describe("going to a frame", () => {
  // The first picture of a clip is there before anything tells how long the clip is.
  const first = { ...INDEX, ready: 1, count: 1, times: [0], ahead: [], doubtful: [] };

  it("takes a frame that is named while the end of the clip is not known", () => {
    const session = createSession(opened());
    goToFrame(session, first, 54);
    expect(session.getState().frame).toBe(54);
    goToFrame(session, INDEX, 130);
    expect(session.getState().frame).toBe(130);
    goToFrame(session, { ...INDEX, countIsExact: true }, 130);
    expect(session.getState().frame).toBe(99);
  });

  it("steps no further than the clip seems to go, nor back from beyond that", () => {
    const session = createSession(opened());
    step(session, first, 1);
    expect(session.getState().frame).toBe(0);
    session.setState({ frame: 98 });
    step(session, INDEX, 10);
    expect(session.getState().frame).toBe(99);
    session.setState({ frame: 130 });
    step(session, INDEX, 1);
    expect(session.getState().frame).toBe(130);
    step(session, INDEX, -1);
    expect(session.getState().frame).toBe(129);
  });
});

describe("how far a clip is, in words", () => {
  it("names frames and the time that is left, and says that a number is a guess", () => {
    expect(progressWords(INDEX)).toBe("13 of about 100 frames, 4 s left");
    expect(preparedShare(INDEX)).toBeCloseTo(0.13, 9);
    const long = { ...INDEX, countIsExact: true, progress: { ...INDEX.progress, secondsLeft: 150 } };
    expect(progressWords(long)).toBe("13 of 100 frames, 3 min left");
    const unknown = { ...INDEX, progress: { ...INDEX.progress, of: 0, secondsLeft: null } };
    expect(progressWords(unknown)).toBe("13 frames");
    expect(preparedShare(unknown)).toBe(0);
  });

  it("says what a waiting clip waits for", () => {
    expect(queueWords({ ...INDEX, queue: 1 })).toBe("Waiting: 1 clip is prepared first");
    expect(queueWords({ ...INDEX, queue: 3 })).toBe("Waiting: 3 clips are prepared first");
  });
});

describe("frames one is likely to go to", () => {
  it("are the nearest event frames, then what the rhythm suggests, then farther ones; never this one", () => {
    const at = (frame: number): EventFrame => ({ event: "blade_off", side: "left", frame, time: frame / 4 });
    const events = [at(10), at(50), at(30), at(70), at(90)];
    expect(likelyFrames(events, 50, [110, 130])).toEqual([70, 30, 110, 130, 90, 10]);
    expect(likelyFrames([], 5, [5])).toEqual([]);
  });
});
