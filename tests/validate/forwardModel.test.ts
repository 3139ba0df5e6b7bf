import { describe, expect, it } from "vitest";
import { smallestSd } from "./bound.ts";
import { drawHabits, type Habits } from "./habits.ts";
import { type Filmer, filmer, minus, see, size, turned, type Vec } from "./lens.ts";
import { MIDDLE, type PlacedIcePoint } from "./placements.ts";
import { dice } from "./random.ts";
import { FEET, simSkater } from "./skater.ts";

const skaters = Array.from({ length: 12 }, (_, k) =>
  simSkater(dice(3, k), {
    path: k % 2 === 0 ? "narrow" : "wide",
    arms: (["fore-aft", "diagonal", "side-to-side"] as const)[k % 3]!,
    middle: MIDDLE,
    restsAt: MIDDLE - 6,
    pushes: 12,
    fromRest: k === 5,
  }),
);
const instants = Array.from({ length: 200 }, (_, k) => 1 + k * 0.01);

describe("the simulated skater", () => {
  it("has bones that keep their length, and legs that reach", () => {
    for (const s of skaters) {
      for (const t of instants) {
        for (const side of FEET) {
          expect(size(minus(s.elbow(side, t), s.shoulder(side, t)))).toBeCloseTo(s.upperArm, 9);
          expect(size(minus(s.wrist(side, t), s.elbow(side, t)))).toBeCloseTo(s.forearm, 9);
          const [heel, toe] = [s.heel(side, t), s.toe(side, t)];
          // The weave shears the plan by up to 0.1 × 2π / 36.
          expect(Math.abs(Math.hypot(toe[0] - heel[0], toe[1] - heel[1]) - 0.28)).toBeLessThan(0.002);
        }
      }
      for (const push of s.pushes.slice(2, -2)) {
        for (const share of [0, 0.25, 0.5, 0.75, 1]) {
          const t = push.landed + share * (push.off - push.landed);
          const [heel, toe, hip] = [s.heel(push.foot, t), s.toe(push.foot, t), s.hip(push.foot, t)];
          // The ankle 0.13 m above the ice, 4 cm more on the toe; legs 0.491 of stature (Drillis and Contini 1966) from a pelvis that tilts and sways.
          const ankle: Vec = [(heel[0] + toe[0]) / 2, (heel[1] + toe[1]) / 2, 0.13 + 0.04 * share];
          expect(size(minus(hip, ankle))).toBeLessThan(0.491 * s.stature + 0.12);
        }
      }
    }
  });

  it("rolls along its edges while they are on the ice", () => {
    for (const s of skaters) {
      for (const push of s.pushes.slice(2, -2)) {
        for (const share of [0.1, 0.4, 0.7, 0.95]) {
          const t = push.landed + share * (push.off - push.landed);
          const middle = (when: number) => {
            const [heel, toe] = [s.heel(push.foot, when), s.toe(push.foot, when)];
            return [(heel[0] + toe[0]) / 2, (heel[1] + toe[1]) / 2] as const;
          };
          const [a, b] = [middle(t - 1e-4), middle(t + 1e-4)];
          const [heel, toe] = [s.heel(push.foot, t), s.toe(push.foot, t)];
          const slip = Math.atan2(b[1] - a[1], b[0] - a[0]) - Math.atan2(toe[1] - heel[1], toe[0] - heel[0]);
          // The lane's own weave turns the path by up to 0.1 × 2π / 36 rad; an edge may slip by 0.01 rad (SD).
          expect(Math.abs(slip)).toBeLessThan(0.06);
        }
      }
    }
  });

  it("is not one and the same: habits spread over what skaters do", () => {
    const many = Array.from({ length: 200 }, (_, k) => drawHabits(dice(5, k), {}));
    const range = (pick: (h: Habits) => number) => {
      const list = many.map(pick).sort((a, b) => a - b);
      return [list[9]!, list[190]!] as const;
    };
    // An independent model of a skater had 0.53 ± 0.44 m/s at blade-off, our own precision study 1.0 to 1.5.
    expect(range((h) => h.vOff)[0]).toBeLessThan(0.2);
    expect(range((h) => h.vOff)[1]).toBeGreaterThan(1.4);
    // A blade kept close to the ice, and one lifted a hand's length.
    expect(range((h) => h.lift)[0]).toBeLessThan(0.03);
    expect(range((h) => h.lift)[1]).toBeGreaterThan(0.15);
    // Thigh and shank 0.491 of stature (Drillis and Contini 1966): from knees bent to a right angle to nearly straight.
    expect(range((h) => h.hipHeight / h.stature)[0]).toBeLessThan(0.39);
    expect(range((h) => h.hipHeight / h.stature)[1]).toBeGreaterThan(0.51);
    expect(many.filter((h) => h.start).length).toBeGreaterThan(10);
  });

  it("sprints off from rest as sprinters do: running-like below 4 m/s, then gliding", () => {
    const s = simSkater(dice(9, 1), {
      ...{ path: "narrow", arms: "fore-aft", middle: MIDDLE, pushes: 14 },
      ...{ fromRest: true, restsAt: 10 },
    });
    const first = s.standsBefore!;
    const speed = (t: number) => (s.midHip(t + 0.01)[0] - s.midHip(t - 0.01)[0]) / 0.02;
    // Stands, and within 20 m is as fast as a sprinter: 5.9 m/s in tests of 7 m and less (Stastny et al. 2023).
    expect(speed(s.pushes[first]!.off - 0.6)).toBeLessThan(0.1);
    const at7m = s.pushes.find((p) => s.midHip(p.off)[0] > 17)!;
    expect(speed(at7m.off)).toBeGreaterThan(4);
    expect(speed(at7m.off)).toBeLessThan(8);
    const length = (k: number) =>
      s.toe(s.pushes[k + 1]!.foot, s.pushes[k + 1]!.off)[0] - s.toe(s.pushes[k]!.foot, s.pushes[k]!.off)[0];
    expect(length(first)).toBeLessThan(length(first + 3));
  });
});

describe("the simulated camera", () => {
  it("shows a point straight ahead in the middle of the picture, left of the skater on its right when facing him", () => {
    const facing = filmer([30, 0, 1], [20, 0, 1], 90);
    expect(see(facing, [20, 0, 1])).toEqual([959.5, 539.5]);
    // 90° across 1920 px: one metre at ten metres is 96 px.
    const [x, y] = see(facing, [20, 1, 2])!;
    expect(x).toBeCloseTo(959.5 + 96, 9);
    expect(y).toBeCloseTo(539.5 - 96, 9);
    expect(see(facing, [40, 0, 1])).toBeNull();
  });

  it("keeps its axes square when turned", () => {
    const f = turned(filmer([3, -4, 2], [18, 0, 0], 65, { roll: 0.02 }), [0.1, -0.2, 0.3]);
    for (const v of [f.right, f.down, f.into]) expect(size(v)).toBeCloseTo(1, 12);
    expect(f.right[0] * f.down[0] + f.right[1] * f.down[1] + f.right[2] * f.down[2]).toBeCloseTo(0, 12);
  });
});

describe("the Cramér-Rao bound", () => {
  const still = (camera: Filmer, icePoints: readonly PlacedIcePoint[], tapeError: number) => ({
    views: [{ camera, icePoints }],
    zooms: false,
    tapeError,
  });
  /** Width between two runners 2.7 m apart along the lane, 8 points over at most 12 m, marks of 1 px. */
  const bound = (at: Vec, zone: number) => {
    const camera = filmer(at, [MIDDLE, 0, 0.5], 65);
    const points = [-0.5, -1 / 6, 1 / 6, 0.5].flatMap((share) =>
      [1.5, -1.5].map((y) => ({
        label: "",
        at: [MIDDLE + share * zone, y, 0] as Vec,
        taped: [MIDDLE + share * zone, y, 0] as Vec,
      })),
    );
    const ends: Vec[] = [-1.35, 1.35].flatMap((x) =>
      [-0.14, 0.14].map((end): Vec => [MIDDLE + x + end, x < 0 ? -0.6 : 0.6, 0]),
    );
    return (
      100 *
      smallestSd(
        still(camera, points, 0),
        ends.map((end) => ({ at: end, view: 0 })),
        1,
        (q) => (q[2]![1] + q[3]![1] - q[0]![1] - q[1]![1]) / 2,
      )
    );
  };
  // Precision study, 2: "CRLB (cm, 2-blade W, 1 px)", h 3 m, hfov 65°. It does not say where in the zone the pair stands, hence 20 %.
  it.each([
    ["finish, d 10", [MIDDLE + 10, 0, 3], 9, 0.8],
    ["finish, d 20", [MIDDLE + 20, 0, 3], 12, 1.5],
    ["45 deg, d 10", [MIDDLE + 7.07, -7.07, 3], 9, 1.9],
    ["45 deg, d 20", [MIDDLE + 14.14, -14.14, 3], 12, 6.8],
    ["bench, d 8", [MIDDLE, -8, 3], 8, 1.75],
    ["bench, d 14", [MIDDLE, -14, 3], 12, 4.8],
  ] as const)("is that of docs/precision.md: %s", (_, at, zone, centimetres) => {
    expect(bound(at, zone) / centimetres).toBeGreaterThan(0.8);
    expect(bound(at, zone) / centimetres).toBeLessThan(1.2);
  });

  it("falls in proportion to the marks, and rises with the tape's error", () => {
    const camera = filmer([MIDDLE + 12, 0, 3], [MIDDLE, 0, 0.5], 65);
    const points = [-4, -1, 1, 4].flatMap((x) =>
      [1.5, -1.5].map((y) => ({
        label: `${x} ${y}`,
        at: [MIDDLE + x, y, 0] as Vec,
        taped: [MIDDLE + x, y, 0] as Vec,
      })),
    );
    const ends = [
      { at: [MIDDLE, 0.6, 0] as Vec, view: 0 },
      { at: [MIDDLE + 2, -0.6, 0] as Vec, view: 0 },
    ];
    const width = (q: readonly Vec[]) => q[0]![1] - q[1]![1];
    const plain = smallestSd(still(camera, points, 0), ends, 1, width);
    expect(smallestSd(still(camera, points, 0), ends, 2, width)).toBeCloseTo(2 * plain, 8);
    expect(smallestSd(still(camera, points, 0.02), ends, 1, width)).toBeGreaterThan(1.1 * plain);
  });
});
