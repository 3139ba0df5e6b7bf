import { BODY_POINTS, type Body, type BodyPoint } from "../../src/suggest/body.ts";

/** How a made-up skater moves: nothing in it comes from `src/suggest`. */
export interface MadeUp {
  /** Frames of a whole cycle of both legs; grows a little with time where `drift` is said. */
  readonly cycle: number;
  readonly drift?: number;
  /** Each limb's own lag behind the contact, frames, drawn anew each cycle. */
  readonly lag?: (limb: number, cycleNumber: number) => number;
  /** Error of each seen point, as a share of the body's size. */
  readonly error?: () => number;
  /** Picture place of mid-hip and size of the body by frame, px. */
  readonly at: (frame: number) => { x: number; y: number; size: number };
}

/** Phase of the cycle in a frame, in cycles. */
export function phase({ cycle, drift = 0 }: MadeUp, frame: number): number {
  return (frame / cycle) * (1 - (drift * frame) / 2);
}

/** The frame of a phase, to the nearest whole one. */
export function frameOf(made: MadeUp, cycles: number): number {
  let frame = 0;
  while (phase(made, frame) < cycles) frame++;
  return cycles - phase(made, frame - 1) < phase(made, frame) - cycles ? frame - 1 : frame;
}

/** Limbs about mid-hip as multiples of the body's size: sums of two harmonics, left and right half a cycle apart. */
export function madeUpBodies(made: MadeUp, frames: number): Body[] {
  const { lag = () => 0, error = () => 0 } = made;
  return Array.from({ length: frames }, (_, frame) => {
    const { x, y, size } = made.at(frame);
    const turn = (limb: number, side: "left" | "right") => {
      const now = phase(made, frame);
      const late = lag(side === "left" ? limb : limb + 4, Math.floor(now)) / made.cycle;
      return 2 * Math.PI * (now - late + (side === "right" ? 0.5 : 0));
    };
    const place = (name: BodyPoint): [number, number] => {
      const side = name.startsWith("right") ? "right" : "left";
      const out = side === "left" ? 1 : -1;
      switch (name.replace(/^(left|right)_/, "")) {
        case "shoulder":
          return [0.25 * out, -0.75];
        case "elbow":
          return [out * (0.4 + 0.1 * Math.sin(turn(0, side))), -0.35 + 0.12 * Math.cos(turn(0, side))];
        case "wrist":
          return [
            out * (0.35 + 0.3 * Math.sin(turn(1, side)) + 0.05 * Math.sin(2 * turn(1, side))),
            -0.1 + 0.2 * Math.cos(turn(1, side)),
          ];
        case "hip":
          return [0.15 * out, 0];
        case "knee":
          return [out * (0.25 + 0.12 * Math.sin(turn(2, side))), 0.5 + 0.06 * Math.sin(2 * turn(2, side))];
        case "ankle":
          return [
            out * (0.3 + 0.3 * Math.max(-0.5, Math.sin(turn(3, side)))),
            1 - 0.12 * Math.max(0, Math.cos(turn(3, side))),
          ];
        default:
          return [0.03 * out, -1];
      }
    };
    const points = BODY_POINTS.map((name) => {
      const [dx, dy] = place(name);
      return { x: x + (dx + error()) * size, y: y + (dy + error()) * size, score: 0.8 };
    });
    return { frame, points, square: { x, y, side: 3 * size } };
  });
}
