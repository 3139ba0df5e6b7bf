import { describe, expect, it } from "vitest";
import { fitScale } from "../../src/ice/fitScale.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { FramePoints } from "../../src/study/types.ts";
import { covariance, deriveOne, exactly, Sources } from "../../src/uncertainty/uncertain.ts";
import { byDefinition } from "../helpers/definitions.ts";
import { changed, filmed, PICTURE, panning, scaleOf, skater, VIEWS } from "../helpers/filmedPan.ts";
import { type Panning, pannedTrial } from "../helpers/pannedTrial.ts";
import { seeded } from "../helpers/random.ts";

// Expected values: the simulated skater's own points by the definitions (tests/helpers), and docs/precision.md 4.

function expectTruth(filming: Panning, within = 0.001): void {
  const { input, frames } = pannedTrial(skater, filming);
  const readings = measureTrial(input);
  expect(readings.scaleWhy).toBeNull();
  const at = frames.map((f) => ({
    side: f.side,
    off: f.off / filming.fps,
    nearest: f.nearest / filming.fps,
    on: f.on / filming.fps,
  }));
  for (const quantity of ["stride_width_m", "blade_separation_m", "touchdown_to_track_midline_m"] as const) {
    for (let k = 1; k <= 4; k++) {
      const reading = readings.strides[k]!.readings[quantity];
      if (reading.value === null) throw new Error(`${quantity} of stride ${k + 1}: ${reading.why}`);
      expect(Math.abs(reading.atFrame! - byDefinition(skater, at, k)[quantity])).toBeLessThan(within);
    }
  }
}

describe.each(Object.entries(VIEWS))("a camera that pans, %s, perfect marks", (_, view) => {
  it("gives the truth at the marked frames to a millimetre, from three key frames and two points a frame", () => {
    expectTruth(panning(view));
  });

  it("finds the tripod and the focal length", () => {
    const { iceFrames, cameraIn } = pannedTrial(skater, panning(view));
    const { camera, frames } = fitScale(
      { kind: "ice-points-by-frame", frames: iceFrames },
      { width: 1920, height: 1080 },
      1,
    ).summary;
    expect(frames).toBe(iceFrames.length);
    expect(Math.hypot(camera!.x - view.from[0], camera!.y - view.from[1])).toBeLessThan(1e-4);
    expect(camera!.height).toBeCloseTo(view.from[2], 4);
    expect(camera!.focalPx).toBeCloseTo(cameraIn(0).focalPx, 2);
  });

  it("is hardly changed by an optical centre 10 cm before the pan axis, as on every real tripod", () => {
    // docs/precision.md 4: "10 cm between optical centre and pan axis: no change"; widths here scatter by 1 to 2 cm.
    expectTruth(panning(view, { axisOffset: 0.1 }), 0.01);
  });

  it("gives the same while it zooms", () => {
    const hfovAt = (time: number) => view.hfovAt() * (1 - 0.1 * time);
    expectTruth(panning({ ...view, hfovAt }));
    expectTruth(panning({ ...view, hfovAt }, { framePoints: 4 }));
  });
});

describe("a moving camera whose optical axis meets the picture beside its middle", () => {
  // By 2.5 % of the picture's width each way: real cameras have it about 2 % off (tests/reference/boards.json).
  const off: readonly (readonly [number, number])[] = [
    [48, 0],
    [0, 48],
    [-48, -48],
  ];

  it("is neither refused nor doubted, and holds places across the lane within their u95 in 88 of 100 or more, and to 2 cm on average", () => {
    let [inside, of, square] = [0, 0, 0];
    for (const view of Object.keys(VIEWS) as (keyof typeof VIEWS)[])
      for (const principalPoint of off)
        for (let seed = 1; seed <= 4; seed++) {
          const more = { noisePx: 1, framePoints: 4, principalPoint, random: seeded(20 + seed) };
          const { iceFrames, cameraIn } = filmed(view, more);
          const scale = scaleOf(iceFrames);
          expect.soft(scale.summary.warnings, `${view}, ${principalPoint}, ${seed}`).toEqual([]);
          const ground = scale.ground(new Sources());
          for (const k of [2, 6, 10]) {
            const { frame } = iceFrames[k]!;
            const seen = cameraIn(frame).see(13 + 0.12 * frame, 0.4, 0);
            const { y } = ground.place({ u: exactly(seen.xPx), v: exactly(seen.yPx) }, frame)!;
            of++;
            square += (y.value - 0.4) ** 2;
            if (Math.abs(y.value - 0.4) <= y.u95) inside++;
          }
        }
    expect(inside / of).toBeGreaterThan(0.88);
    expect(Math.sqrt(square / of)).toBeLessThan(0.02);
  });
});

describe("what a moving camera's ice points leave open", () => {
  const scales = Array.from({ length: 16 }, (_, k) => {
    const pan = filmed("45 from behind", { noisePx: 1, random: seeded(1 + k) });
    return { ...pan, scale: scaleOf(pan.iceFrames) };
  });

  it("holds the truth: places, and distances between two frames, in 88 of 100 or more", () => {
    let [inside, apart, of] = [0, 0, 0];
    for (const { iceFrames, cameraIn, scale } of scales) {
      const ground = scale.ground(new Sources());
      const places = [1, 4, 7, 10].map((k) => {
        const { frame } = iceFrames[k]!;
        const x = 13 + 0.12 * frame;
        const seen = cameraIn(frame).see(x, 0.4, 0);
        return { x, place: ground.place({ u: exactly(seen.xPx), v: exactly(seen.yPx) }, frame)! };
      });
      for (const [k, { place }] of places.entries()) {
        of++;
        if (Math.abs(place.y.value - 0.4) <= place.y.u95) inside++;
        const other = places[(k + 1) % 4]!;
        const along = deriveOne((a, b) => b! - a!, [place.x, other.place.x]);
        if (Math.abs(along.value - (other.x - places[k]!.x)) <= along.u95) apart++;
      }
    }
    // 64 of 95 %; frames of one fit hang together, so chance reaches a little lower than the binomial 88 %.
    expect(inside / of).toBeGreaterThanOrEqual(0.88);
    expect(apart / of).toBeGreaterThanOrEqual(0.88);
  });

  it("holds the tripod's place in 13 of 16 pictures or more, each coordinate, and with errors of that size", () => {
    const [held, squares] = [
      [0, 0, 0],
      [0, 0, 0],
    ];
    for (const { scale } of scales) {
      const { x, y, height, u95Place } = scale.summary.camera!;
      [x, y, height].forEach((value, k) => {
        const off = value - VIEWS["45 from behind"].from[k]!;
        if (Math.abs(off) <= u95Place[k]!) held[k]! += 1;
        squares[k]! += (1.96 * off) ** 2 / u95Place[k]! ** 2 / 16;
      });
    }
    for (const k of [0, 1, 2]) {
      // Of 16 at 95 %, fewer than 13 happen in 7 of 1000 (binomial).
      expect(held[k]).toBeGreaterThanOrEqual(13);
      // Chi-square with 16 degrees of freedom over 16: 99.9 % within 0.25 to 2.5 (handbook table: 3.94 to 39.3).
      expect(squares[k]).toBeGreaterThan(0.25);
      expect(squares[k]).toBeLessThan(2.5);
    }
  });

  // docs/precision.md 4, three key frames with eight points, then two a frame: SD of a stride width, cm.
  it.each([
    ["side", 2.1],
    ["45 from behind", 2.1],
    ["finish", 0.9],
  ] as const)("%s: widths scatter by %s cm or less at the marked frames", (view, most) => {
    let [squares, of] = [0, 0];
    for (let seed = 1; seed <= 8; seed++) {
      const { input, frames } = filmed(view, { noisePx: 1, random: seeded(seed) });
      const at = frames.map((f) => ({
        side: f.side,
        off: f.off / 60,
        nearest: f.nearest / 60,
        on: f.on / 60,
      }));
      for (const [k, { readings }] of measureTrial(input).strides.entries()) {
        const width = readings.stride_width_m;
        if (k === 0 || k > 4 || width.value === null) continue;
        squares += (100 * (width.atFrame! - byDefinition(skater, at, k).stride_width_m)) ** 2;
        of++;
      }
    }
    expect(of).toBe(32);
    // Stated to 7 %, and 32 widths give their SD to 13 %.
    expect(Math.sqrt(squares / of)).toBeLessThan(1.25 * most);
  });

  it("shares a point's taped error between all frames that show it", () => {
    const { iceFrames } = filmed("side", { keyPoints: 6, framePoints: 6 });
    const u = (frames: readonly FramePoints[], tape: number) => {
      const taped = changed(
        frames,
        () => true,
        (points) => points.map((p) => ({ ...p, u: tape })),
      );
      const ground = scaleOf(taped, 0.1).ground(new Sources());
      return ground.place({ u: exactly(960), v: exactly(640) }, frames[3]!.frame)!.y.u;
    };
    // Marks hardly err here, so the doubt is the tape's, and in proportion to it.
    expect(u(iceFrames, 0.06) / u(iceFrames, 0.03)).toBeGreaterThan(1.9);
    // The same points marked on twice as many frames tell nothing new of where they are taped.
    const twice = [...iceFrames, ...iceFrames.map((f) => ({ ...f, frame: f.frame + 1000 }))];
    expect(u(twice, 0.03) / u(iceFrames, 0.03)).toBeGreaterThan(0.95);
  });
});

describe("laws of a moving camera's scale", () => {
  const { iceFrames } = filmed("45 from behind", { noisePx: 1, framePoints: 3 });
  const base = scaleOf(iceFrames);

  it("does not depend on the order of frames or points", () => {
    const mixed = iceFrames.map((f) => ({ ...f, points: f.points.slice().reverse() })).reverse();
    const { camera, rmsPx } = scaleOf(mixed).summary;
    expect(camera!.focalPx).toBeCloseTo(base.summary.camera!.focalPx, 3);
    expect(rmsPx).toBeCloseTo(base.summary.rmsPx!, 6);
  });

  it("turns and moves with the ice frame", () => {
    const [c, s] = [Math.cos(0.7), Math.sin(0.7)];
    const turn = (x: number, y: number) => [c * x - s * y + 5, s * x + c * y - 3] as const;
    const turned = changed(
      iceFrames,
      () => true,
      (points) =>
        points.map((p) => {
          const [x, y] = turn(p.x, p.y);
          return { ...p, x, y };
        }),
    );
    const scale = scaleOf(turned);
    const { frame } = iceFrames[3]!;
    const before = base.toIce({ xPx: 900, yPx: 700 }, frame)!;
    const after = scale.toIce({ xPx: 900, yPx: 700 }, frame)!;
    const [x, y] = turn(before.x, before.y);
    expect(Math.hypot(after.x - x, after.y - y)).toBeLessThan(1e-5);
    expect(scale.summary.camera!.u95FocalPx).toBeCloseTo(base.summary.camera!.u95FocalPx, 1);
  });

  it("mirrors with the picture", () => {
    const mirrored = changed(
      iceFrames,
      () => true,
      (points) => points.map((p) => ({ ...p, xPx: 1919 - p.xPx, y: -p.y })),
    );
    const { frame } = iceFrames[3]!;
    const before = base.toIce({ xPx: 900, yPx: 700 }, frame)!;
    const after = scaleOf(mirrored).toIce({ xPx: 1019, yPx: 700 }, frame)!;
    expect(Math.hypot(after.x - before.x, after.y + before.y)).toBeLessThan(1e-5);
  });

  it("agrees with the static fit where the camera stands still", () => {
    const still = pannedTrial(skater, {
      ...panning(VIEWS.side, { noisePx: 1, keyPoints: 8, framePoints: 8 }),
      hfovAt: () => 65,
      aimAt: () => [18, 0],
    });
    const moving = scaleOf(still.iceFrames);
    const { frame, points } = still.iceFrames[2]!;
    const alone = fitScale({ kind: "ice-points", points }, PICTURE, 1);
    const at = { xPx: 960, yPx: 600 };
    const [a, b] = [moving.toIce(at, frame)!, alone.toIce(at)!];
    expect(Math.hypot(a.x - b.x, a.y - b.y)).toBeLessThan(0.05);
    expect(moving.summary.camera!.u95FocalPx).toBeLessThan(alone.summary.camera!.u95FocalPx);
  });

  it("knows how far a place moves with its mark", () => {
    const { frame } = iceFrames[3]!;
    const sources = new Sources();
    const [u, v] = [sources.add(900, 0.5), sources.add(700, 0.5)];
    const place = base.ground(sources).place({ u, v }, frame)!;
    const slope = (axis: "x" | "y", dx: number, dy: number) => {
      const at = (k: number) => base.toIce({ xPx: 900 + k * dx, yPx: 700 + k * dy }, frame)![axis];
      return (at(0.01) - at(-0.01)) / 0.02;
    };
    for (const axis of ["x", "y"] as const) {
      expect(covariance(place[axis], u) / 0.25).toBeCloseTo(slope(axis, 1, 0), 7);
      expect(covariance(place[axis], v) / 0.25).toBeCloseTo(slope(axis, 0, 1), 7);
    }
  });

  it("goes from the picture to the ice and back, in its own frame only", () => {
    const { frame } = iceFrames[2]!;
    const there = base.toPicture(18, 0.5, 0, frame)!;
    const back = base.toIce(there, frame)!;
    expect(Math.hypot(back.x - 18, back.y - 0.5)).toBeLessThan(1e-9);
    expect(base.toIce(there)).toBeNull();
    expect(base.toIce(there, frame + 1)).toBeNull();
  });

  it("finds the lens as well", () => {
    const k1 = -0.1;
    const { iceFrames: straight, cameraIn } = filmed("side", { keyPoints: 8, framePoints: 4 });
    const f = cameraIn(0).focalPx;
    const seen = changed(
      straight,
      () => true,
      (points) =>
        points.map((p) => {
          const stretch = 1 + (k1 * ((p.xPx - 959.5) ** 2 + (p.yPx - 539.5) ** 2)) / f ** 2;
          return { ...p, xPx: 959.5 + (p.xPx - 959.5) * stretch, yPx: 539.5 + (p.yPx - 539.5) * stretch };
        }),
    );
    const { lens, camera } = scaleOf(seen, 0.2).summary;
    expect(lens).toMatchObject({ from: "ice points" });
    expect((lens as { k1: number }).k1).toBeCloseTo(k1, 4);
    expect(camera!.focalPx).toBeCloseTo(f, 1);
    const given = fitScale({ kind: "ice-points-by-frame", frames: seen, lens: { k1 } }, PICTURE, 1).summary;
    expect(given.lens).toMatchObject({ from: "given", k1 });
    expect(given.rmsPx).toBeLessThan(1e-5);
  });
});
