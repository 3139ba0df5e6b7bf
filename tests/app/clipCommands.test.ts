import { describe, expect, it } from "vitest";
import { relinkClip } from "../../app/commands/clips/relinkClip.ts";
import { setClipPart } from "../../app/commands/clips/setClipPart.ts";
import { takeSound } from "../../app/commands/clips/takeSound.ts";
import { turnClip } from "../../app/commands/clips/turnClip.ts";
import type { ClipLink } from "../../src/study/types.ts";
import { bareStudy, mark, marksWith, refusal } from "./fakeStudy.ts";

const CLIP: ClipLink = { id: "c1", name: "a.mp4", path: "clips/a.mp4", bytes: 10, sha256: "aa" };
const OTHER: ClipLink = { id: "c2", name: "b.mp4", path: "clips/b.mp4", bytes: 20 };

function study(clip: ClipLink = CLIP) {
  const bare = bareStudy();
  const marks = { t1: marksWith({ marks: [mark({ frame: 12 }), mark({ frame: 300 })] }) };
  return { study: { ...bare.study, clips: [clip, OTHER] }, marks };
}
const part = (first: number, last: number) => () =>
  setClipPart.run(study(), { clip: "c1", part: { first, last } });

describe("the part of a clip that matters", () => {
  it("is kept with its clip and no other, and taken away again", () => {
    const set = part(10, 400)();
    expect(set.study.clips).toEqual([{ ...CLIP, part: { first: 10, last: 400 } }, OTHER]);
    expect(setClipPart.run(set, { clip: "c1", part: null }).study.clips).toEqual([CLIP, OTHER]);
  });

  it("holds all that is marked, both ends included", () => {
    expect(part(12, 300)().study.clips[0]?.part).toEqual({ first: 12, last: 300 });
    for (const refused of [part(13, 300), part(12, 299)]) {
      expect(refusal(refused).code).toBe("part-leaves-out-marks");
      expect(refusal(refused).coach).toBe(
        "Frames 12 to 300 of this clip are marked, so the part must hold them.",
      );
    }
  });

  it.each([
    [5, 4],
    [-1, 400],
    [0.5, 400],
    [0, Number.NaN],
  ])("refuses %f to %f", (first, last) => {
    expect(refusal(part(first, last)).code).toBe("bad-part");
  });

  it("changes nothing when it is what it was, so that there is nothing to undo", () => {
    const set = part(10, 400)();
    expect(setClipPart.run(set, { clip: "c1", part: { first: 10, last: 400 } })).toBe(set);
  });
});

describe("a clip turned by hand", () => {
  it("keeps its turn until it is taken back", () => {
    const set = turnClip.run(study(), { clip: "c2", turn: 180 });
    expect(set.study.clips).toEqual([CLIP, { ...OTHER, turn: 180 }]);
    expect(turnClip.run(set, { clip: "c2", turn: 0 }).study.clips).toEqual([CLIP, OTHER]);
  });

  it("is refused where something is marked on it: that would lie wrong on the turned picture", () => {
    const trials = study().study.trials.map((t) => ({ ...t, clip: "c1" }));
    const marked = { ...study(), study: { ...study().study, trials } };
    expect(refusal(() => turnClip.run(marked, { clip: "c1", turn: 90 })).code).toBe("turned-under-marks");
    const bare = { ...marked, marks: {} };
    expect(turnClip.run(bare, { clip: "c1", turn: 90 }).study.clips[0]).toEqual({ ...CLIP, turn: 90 });
  });
});

describe("another place or file for a clip", () => {
  it("replaces path, size and content; the trials, the marks and the part stay", () => {
    const before = study({ ...CLIP, part: { first: 10, last: 400 } });
    const found = { ...CLIP, path: "../phone/a (1).mp4", bytes: 11, sha256: "bb" };
    const after = relinkClip.run(before, { clip: found });
    expect(after.study.clips).toEqual([{ ...found, part: { first: 10, last: 400 } }, OTHER]);
    expect(after.study.trials).toBe(before.study.trials);
    expect(after.marks).toBe(before.marks);
  });

  it("goes along for the other parts of a film that only lies elsewhere, and for nothing else", () => {
    const film = { ...CLIP, sha256: "aa", part: { first: 10, last: 400 } };
    const part: ClipLink = { ...film, id: "c1-part-2", part: { first: 500, last: 900 } };
    const before = study(film);
    const cut = { ...before, study: { ...before.study, clips: [...before.study.clips, part] } };
    const elsewhere = { ...CLIP, sha256: "aa", path: "../disk/a.mp4" };
    expect(relinkClip.run(cut, { clip: elsewhere }).study.clips).toEqual([
      { ...film, path: "../disk/a.mp4" },
      OTHER,
      { ...part, path: "../disk/a.mp4" },
    ]);
    const another = { ...elsewhere, bytes: 11, sha256: "bb" };
    expect(relinkClip.run(cut, { clip: another }).study.clips.slice(1)).toEqual([OTHER, part]);
  });
});

describe("what both clips of a trial let hear", () => {
  it("is kept with the marks of that view and touches nothing else", () => {
    const before = study();
    const sound = { clip: "c2", with: "c1", lag: null, why: "the sound of the second is silence" };
    const after = takeSound.run(before, { view: "t1", sound });
    expect(after.marks.t1).toEqual({ ...before.marks.t1, sound });
    expect(after.study).toBe(before.study);
  });
});
