import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { PX_PER_METRE, pictureAreas } from "../../../src/report/film/layout.ts";
import type { Moment } from "../../../src/report/film/moment.ts";
import type { PanelFrame } from "../../../src/report/film/panel.ts";
import { planFilm } from "../../../src/report/film/planFilm.ts";
import type { TrialMarks, WholeStudy } from "../../../src/study/types.ts";
import { measuredOnce } from "../../../src/trials/measuredOnce.ts";
import { demo } from "../../helpers/demoReadings.ts";
import { filmedTrial } from "../../helpers/filmedTrial.ts";
import { near } from "../../helpers/near.ts";
import { pannedTrial } from "../../helpers/pannedTrial.ts";
import { type Pinhole, pinhole } from "../../helpers/pinhole.ts";
import { ORDINARY, simulateSkater } from "../../helpers/skater.ts";
import { STUDY } from "../../helpers/studyFolder.ts";

const skater = simulateSkater(ORDINARY);
const FPS = 120;

function filmedBy(camera: Pinhole, trial: string): { marks: TrialMarks; camera: Pinhole } {
  const { input } = filmedTrial(skater, {
    ...{ camera, fps: FPS, zone: [8, 34], noisePx: 0, slips: 0, random: () => 0.5, statedSdPx: 1.5 },
  });
  const picture = { clip: trial, width: camera.width, height: camera.height, frameInterval: 1 / FPS };
  const { marks, events, iceReference } = input;
  return {
    camera,
    marks: { ...{ format: "blademark.marks", version: 1, trial }, picture, iceReference, events, marks },
  };
}

function film(a: TrialMarks, b: TrialMarks, moment: Moment | null = null) {
  // Simulated skaters took other times than that study's.
  const trials = STUDY.trials.map((t) => ({ ...t, clip: t.id, time: null }));
  const whole: WholeStudy = { study: { ...STUDY, trials }, marks: { t1: a, t2: b } };
  const times = Array.from({ length: 400 }, (_, n) => n / FPS);
  const wish = { trials: ["t1", "t2"], moment, slow: 4, names: "names" } as const;
  return planFilm(whole, wish, () => ({ times, part: null }), measuredOnce(whole));
}

/** Where the test's own camera sees a point of space, px of the film's panel. */
function inPanel({ view }: PanelFrame, camera: Pinhole, x: number, y: number, z: number) {
  const { xPx, yPx } = camera.see(x, y, z);
  return { x: (xPx + 0.5 - view!.xPx) * view!.scale, y: (yPx + 0.5 - view!.yPx) * view!.scale };
}

const facing = pinhole([40, 0.4, 3], [20, 0], 40);
const near40 = pinhole([38, -0.5, 2.2], [20, 0], 55, 1280, 720);
const behind = pinhole([-2, 0.3, 2.5], [20, 0], 35);

describe("two clips at the same scale on the ice", () => {
  for (const [name, one, other] of [
    ["far and near, of other lenses and picture sizes", facing, near40],
    ["from the finish and from behind the start", facing, behind],
  ] as const)
    it(`shows a metre at the skater equally long: ${name}`, () => {
      const a = filmedBy(one, "t1");
      const b = filmedBy(other, "t2");
      const plan = film(a.marks, b.marks);
      const { panels } = plan.at(plan.zero);
      // A metre across the lane at the blade that leaves the ice, as the test's own cameras see it.
      const side = plan.moment.kind === "event" ? plan.moment.side : "left";
      const lengths = [a, b].map(({ camera }, c) => {
        const at = skater.blade(side, panels[c]!.frame / FPS);
        const left = inPanel(panels[c]!, camera, at.x, at.y - 0.5, 0);
        const right = inPanel(panels[c]!, camera, at.x, at.y + 0.5, 0);
        return Math.hypot(right.x - left.x, right.y - left.y);
      });
      near(lengths[0]! / lengths[1]!, 1, 0.01);
      near(lengths[0]!, PX_PER_METRE, 0.01 * PX_PER_METRE);
    });

  it("keeps the skater and both blades in the picture, in every frame of both", () => {
    const a = filmedBy(facing, "t1");
    const b = filmedBy(behind, "t2");
    const plan = film(a.marks, b.marks);
    const { width, height } = pictureAreas(2)[0]!;
    let shown = 0;
    for (let j = 0; j < plan.count; j += 10)
      plan.at(j).panels.forEach((panel, c) => {
        const { camera } = [a, b][c]!;
        const time = panel.frame / FPS;
        for (const p of [skater.blade("left", time), skater.blade("right", time), skater.midHip(time)]) {
          const seen = camera.see(p.x, p.y, p.z);
          if (seen.xPx < 0 || seen.yPx < 0 || seen.xPx > camera.width || seen.yPx > camera.height) continue;
          shown += 1;
          const { x, y } = inPanel(panel, camera, p.x, p.y, p.z);
          expect(x).toBeGreaterThan(0.1 * width);
          expect(x).toBeLessThan(0.9 * width);
          expect(y).toBeGreaterThan(0.05 * height);
          expect(y).toBeLessThan(height);
        }
      });
    expect(shown).toBeGreaterThan(4 * (plan.count / 10));
  });

  it("draws the width on the ice from the true blade, as long as it says", () => {
    const a = filmedBy(facing, "t1");
    const plan = film(a.marks, filmedBy(behind, "t2").marks);
    const panel = plan.at(plan.zero).panels[0]!;
    const drawn = panel.marks.lengths.find((l) => l.what === "width")!;
    const blade = skater.blade(plan.moment.kind === "event" ? plan.moment.side : "left", panel.frame / FPS);
    const seen = a.camera.see(blade.x, blade.y, 0);
    near(drawn.blade.xPx, seen.xPx, 1);
    near(drawn.blade.yPx, seen.yPx, 1);
    // Px a metre at that depth, by the test's camera, give back the printed number (a hundredth: half a frame's travel).
    const metre = a.camera.see(blade.x, blade.y + 1, 0).xPx - seen.xPx;
    const metres = Math.abs((drawn.toward.xPx - drawn.blade.xPx) / metre);
    near(metres, Number.parseFloat(drawn.text), 0.02);
  });

  it("keeps scale and skater while the camera pans, also in frames without ice points", () => {
    // Follows the skater; ice points are marked in the event frames only.
    const { input, cameraIn } = pannedTrial(skater, {
      ...{ from: [42, 0.4, 2.5], hfovAt: () => 20, aimAt: (t) => [skater.midHip(t).x, 0.1] as const },
      ...{ fps: FPS, noisePx: 0, statedSdPx: 1, random: () => 0.5 },
      ...{ keyPoints: 8, keyFrames: 3, framePoints: 2 },
    });
    const { marks, events, iceReference } = input;
    const picture = { clip: "t1", width: 1920, height: 1080, frameInterval: 1 / FPS };
    const panned: TrialMarks = {
      ...{ format: "blademark.marks", version: 1, trial: "t1", picture, iceReference, events, marks },
    };
    const still = filmedBy(behind, "t2");
    const plan = film(panned, still.marks);
    for (let j = 0; j < plan.count; j += 7) {
      const panel = plan.at(j).panels[0]!;
      expect(panel.unscaled).toBeNull();
      const time = panel.frame / FPS;
      if (time < skater.offs[0]!.time || time > skater.offs.at(-1)!.time) continue;
      const hip = skater.midHip(time);
      const [left, right] = [-0.5, 0.5].map((dy) =>
        inPanel(panel, cameraIn(panel.frame), hip.x - 0.3, hip.y + dy, 0),
      );
      // At the event itself as exactly as ever; between frames with ice points the picture is taken to move evenly.
      near(
        Math.hypot(right!.x - left!.x, right!.y - left!.y) / PX_PER_METRE,
        1,
        j === plan.zero ? 0.01 : 0.03,
      );
      const { width } = pictureAreas(2)[0]!;
      expect((left!.x + right!.x) / 2).toBeGreaterThan(0.3 * width);
      expect((left!.x + right!.x) / 2).toBeLessThan(0.7 * width);
    }
  });

  // The generator's own cameras (truth beside each sample clip) and the definition of a gate's frame: front at the gate.
  it("is at the same scale at the start too, before the first blade-off", () => {
    const whole = demo();
    const pair = ["aino-close-1", "aino-open-1"];
    const times = Array.from({ length: 338 }, (_, n) => n / 60);
    const wish = { trials: pair, moment: { kind: "start" }, slow: 4, names: "names" } as const;
    const plan = planFilm(whole, wish, () => ({ times, part: null }), measuredOnce(whole));
    for (const [c, panel] of plan.at(plan.zero).panels.entries()) {
      const file = join(import.meta.dirname, `../../../sample-clips/truth/${pair[c]}.json`);
      const { camera } = JSON.parse(readFileSync(file, "utf8"));
      const [, , forward] = camera.rotation_right_down_forward as number[][];
      const [x, y, z] = camera.place_m as [number, number, number];
      const depth = forward![0]! * (0 - x) + forward![1]! * (0 - y) + forward![2]! * (0 - z);
      near(((camera.focal_px / depth) * panel.view!.scale) / PX_PER_METRE, 1, 0.02);
    }
  });

  it("says why a trial is not to scale, and shows its whole picture", () => {
    const a = filmedBy(facing, "t1");
    const plan = film(a.marks, { ...filmedBy(behind, "t2").marks, iceReference: null });
    const film0 = plan.at(plan.zero);
    expect(film0.panels[0]!.unscaled).toBeNull();
    expect(film0.panels[1]!).toMatchObject({
      view: null,
      unscaled: "not to scale: there is no ice reference",
      grid: [],
    });
    expect(film0.panels[1]!.marks.lengths).toEqual([]);
    expect(film0.foot).toContain("not at the same scale");
    for (const row of film0.panels[1]!.rows.slice(1))
      expect(row).toMatchObject({ had: false, text: expect.stringMatching(/ice reference|marked/) });
  });

  it("gives a time ± from a contact with the ice, and from frame to frame from anything else", () => {
    const [a, b] = [filmedBy(facing, "t1").marks, filmedBy(behind, "t2").marks];
    const contact = film(a, b, { kind: "event", event: "blade_on", side: "right", count: 1 });
    // Blade-on is half a frame before its frame; ± 1.25 frames (eventTime.ts): at 120 frames a second 0.004 ± 0.010 s.
    expect(contact.at(contact.zero).panels[0]!.rows[0]).toEqual({
      ...{ name: "since right blade-on", text: "0.004 ± 0.010\u00a0s", had: true },
    });
    const other = film(a, b, { kind: "event", event: "recovery_min", side: "right", count: 1 });
    expect(other.at(other.zero).panels[0]!.rows[0]).toMatchObject({
      ...{ name: "since the frame of right blade nearest the midline", text: "0.000\u00a0s, frame to frame" },
    });
  });

  it("tells nothing of what comes later", () => {
    const plan = film(filmedBy(facing, "t1").marks, filmedBy(behind, "t2").marks);
    let before = 0;
    for (let j = 0; j < plan.count; j += 5) {
      const { marks, frame } = plan.at(j).panels[0]!;
      const so = filmedBy(facing, "t1").marks.events.filter(
        (e) => e.frame <= frame && (e.event === "blade_off" || e.event === "blade_on"),
      );
      expect(marks.trail.length).toBeLessThanOrEqual(so.length);
      expect(marks.trail.length).toBeGreaterThanOrEqual(before);
      before = marks.trail.length;
    }
    expect(before).toBeGreaterThan(8);
  });
});
