import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { project } from "../../sample-clips/make/camera.ts";
import { ALL_CLIPS, EVENINGS } from "../../sample-clips/make/evenings.ts";
import { handMarks, marksText } from "../../sample-clips/make/handMarks.ts";
import { film } from "../../sample-clips/make/happenings.ts";
import { marksIdOf } from "../../sample-clips/make/people.ts";
import { halfWidthAt, RINK } from "../../sample-clips/make/rink.ts";
import { makeRun } from "../../sample-clips/make/run.ts";
import { truthOf, truthText } from "../../sample-clips/make/truth.ts";
import { toLaneX } from "../../sample-clips/make/world.ts";
import { SAMPLE_CLIPS, type Truth } from "../demo/demoFiles.ts";

describe("the rink in the pictures", () => {
  it("has IIHF 60 x 30 markings where the rule book puts them", () => {
    // Half distances from the centre spot: docs/references.md 1.4 (IIHF 2023/24 and 2014) [computed there from 1.3].
    expect(RINK.goalLineX).toBe(26);
    expect(RINK.blueLineX).toBeCloseTo(30 - 22.86, 12);
    expect([RINK.neutralSpot.x, RINK.neutralSpot.y]).toEqual([5.49, 7]);
    expect([RINK.endSpot.x, RINK.endSpot.y]).toEqual([20, 7]);
    expect(RINK.circleRadius).toBe(4.5);
    expect([RINK.hashGap, RINK.hashLength]).toEqual([1.7, 0.6]);
    expect([RINK.ell.along, RINK.ell.across, RINK.ell.gap]).toEqual([1.2, 0.9, 0.45]);
  });

  it("is 30 m wide until its corners, which end at the boards", () => {
    expect(halfWidthAt(0)).toBe(15);
    expect(halfWidthAt(21.5)).toBe(15);
    expect(halfWidthAt(30)).toBeCloseTo(15 - 8.5, 12);
  });

  it("leaves 18 m of run-out after a finish 12 m beyond the centre spot", () => {
    expect(toLaneX(12)).toBe(30);
    expect(RINK.halfLength - 12).toBe(18);
  });
});

describe.each(ALL_CLIPS.map((c) => [c.name, c] as const))("%s", (name, clip) => {
  const filmed = film(clip, makeRun(clip.run));
  const written = readFileSync(`${SAMPLE_CLIPS}truth/${name}.json`, "utf8");

  it("is made the same again from its seeds: truth and marks as committed", () => {
    expect(truthText(truthOf(filmed))).toBe(written);
    if (marksIdOf(clip) === null || clip.unmarked) return;
    const { folder } = EVENINGS.find((e) => e.clips.includes(clip))!;
    const marks = readFileSync(`${SAMPLE_CLIPS}${folder}/marks/${marksIdOf(clip)}.json`, "utf8");
    expect(marksText(handMarks(filmed))).toBe(marks);
  });

  it("keeps the skater in the picture from start to finish, helmet and blades with a margin", () => {
    // The bench sees 12 m of the lane, so only what is measured there has to be in its picture.
    const [from, to] = clip.only ? [12, 24] : [-2, 30];
    const margin = 8;
    const shown = filmed.times.filter((t) => {
      const x = filmed.run.progress.x(t);
      return x >= from && x <= to;
    });
    expect(shown.length).toBeGreaterThan(80);
    for (const t of shown) {
      const pose = filmed.run.poseAt(t);
      const crown = [pose.head[0], pose.head[1], pose.head[2] + 0.16] as const;
      const limbs = [pose.left, pose.right].flatMap((l) => [l.heel, l.toe, l.wrist, l.elbow]);
      for (const p of [crown, ...limbs]) {
        const at = project(clip.camera, p);
        expect(at.x).toBeGreaterThan(margin);
        expect(at.x).toBeLessThan(clip.camera.width - margin);
        expect(at.y).toBeGreaterThan(margin);
        expect(at.y).toBeLessThan(clip.camera.height - margin);
      }
    }
  });

  it("names the last frame before a blade-off and the first after a blade-on", () => {
    const truth = JSON.parse(written) as Truth;
    const contacts = truth.events.filter((e) => e.event === "blade_off" || e.event === "blade_on");
    expect(contacts.length).toBeGreaterThanOrEqual(8);
    for (const e of contacts) {
      // docs/contracts.md: blade_off is the last frame that touches, blade_on the first.
      const early = e.exact_real_s * truth.fps_true - e.frame;
      expect(e.event === "blade_off" ? early : -early).toBeGreaterThanOrEqual(-1e-4);
      expect(e.event === "blade_off" ? early : -early).toBeLessThan(1);
      const toe = e.points.find((p) => p.point === "blade_toe" && p.side === e.side);
      expect(toe?.on_ice).toBe(true);
      expect(e.frame_clip_s).toBeCloseTo(e.frame / truth.fps_claimed, 5);
      expect(e.exact_clip_s).toBeCloseTo(e.exact_real_s * truth.speed_factor, 5);
    }
  });
});
