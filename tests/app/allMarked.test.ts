import { describe, expect, it } from "vitest";
import { FIRST_PASS } from "../../app/places/measure/core/pass.ts";
import { allMarked } from "../../app/places/measure/guide/allMarked.ts";
import { pointsOnFrame } from "../../app/places/measure/guide/framePoints.ts";
import type { Depth } from "../../app/places/measure/guide/sequence.ts";
import type { EventFrame, EventName, Mark, Side } from "../../src/study/types.ts";
import { marksWith } from "./fakeStudy.ts";

const FPS = 60;
const at = (event: EventName, side: Side, frame: number): EventFrame => ({
  ...{ event, side, frame, time: frame / FPS },
});

/** Six pushes in turn, 20 frames apart; each blade comes down 16 frames after it left, but the last two were not seen to. */
const PUSHES = [0, 1, 2, 3, 4, 5].map((k) => ({
  side: (k % 2 === 0 ? "left" : "right") as Side,
  frame: 50 + 20 * k,
}));
const EVENTS = [
  ...PUSHES.map(({ side, frame }) => at("blade_off", side, frame)),
  ...PUSHES.slice(0, 4).map(({ side, frame }) => at("blade_on", side, frame + 16)),
];

/** Everything that is asked for on these event frames, marked. */
function marked(events: readonly EventFrame[], depth: Depth): Mark[] {
  const bare = marksWith({ events: [...events] });
  const frames = [...new Set(events.map((e) => e.frame))];
  return frames.flatMap((frame) =>
    pointsOnFrame(bare, frame, depth).map((p) => ({ ...p, frame, time: frame / FPS, xPx: 5, yPx: 7 })),
  );
}

function isAllMarked(events: readonly EventFrame[], marks: readonly Mark[], depth: Depth = "width"): boolean {
  return allMarked({
    marks: marksWith({ events: [...events], marks: [...marks] }),
    frame: 0,
    times: Array.from({ length: 170 }, (_, i) => i / FPS),
    speedFactor: 1,
    depth,
    ...{ doubted: [], others: null, override: null, askAgain: null, leftOpen: [], pass: FIRST_PASS },
  });
}

describe("a trial of which nothing is left to ask", () => {
  const marks = marked(EVENTS, "width");

  it("may lack how the last two pushes ended: the skater left the picture", () => {
    expect(isAllMarked(EVENTS, marks)).toBe(true);
  });

  it("lacks no blade-on between others", () => {
    expect(
      isAllMarked(
        EVENTS.filter((e) => e.frame !== 86),
        marks,
      ),
    ).toBe(false);
  });

  it("lacks no push between others", () => {
    expect(
      isAllMarked(
        EVENTS.filter((e) => e.frame !== 90),
        marks,
      ),
    ).toBe(false);
  });

  it("lacks no point on a frame before those", () => {
    expect(
      isAllMarked(
        EVENTS,
        marks.filter((m) => m.frame !== 66),
      ),
    ).toBe(false);
  });

  it("is not marked at a depth that asks for more", () => {
    expect(isAllMarked(EVENTS, marks, "recovery")).toBe(false);
    expect(isAllMarked(EVENTS, marks, "arms")).toBe(false);
  });

  it("has more than one push", () => {
    expect(isAllMarked([], [])).toBe(false);
    expect(isAllMarked(EVENTS.slice(0, 1), marks)).toBe(false);
  });
});
