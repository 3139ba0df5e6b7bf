/** How the arms swing. Directions: ahead, outward to the arm's own side, up. */
import type { Push, Sign } from "./schedule.ts";
import { ease, root, unit, type V } from "./vec.ts";

export interface ArmExtreme {
  readonly sign: Sign;
  readonly event: "arm_front" | "arm_back";
  readonly time: number;
}

/** One arm at one moment. */
export interface ArmPlace {
  /** From the shoulder to the wrist, a unit vector. */
  readonly direction: V;
  /** Angle between upper arm and forearm, radians; a straight arm has half a turn. */
  readonly bend: number;
  /** Where the elbow points. */
  readonly pole: V;
}

export interface Arms {
  /** How far the shoulders turn against the pelvis at a blade-off, radians. */
  readonly shoulderTurn: number;
  /** The moments at which each wrist turns back. */
  readonly extremes: readonly ArmExtreme[];
  /** @param effort 0 standing, 1 sprinting */
  at(sign: Sign, t: number, effort: number): ArmPlace;
}

/** Share of a half turn of the stride by which both arms' extremes follow the blade-offs. */
const LAG = 0.06;

/** A pendulum in one plane: azimuth from straight ahead, half the angle swept, mean angle; radians. */
export interface ArmPlane {
  readonly azimuth: number;
  readonly sweep: number;
  readonly mean: number;
}

/**
 * Both arms alike, back and forth in a plane, exactly with the blades.
 *
 * @param clock half turns of the stride: k at blade-off k
 * @param leftOut +1 at a left blade-off, -1 at a right one, in between at a time and a lag
 */
export function planeArms(
  plane: ArmPlane,
  pushes: readonly Push[],
  clock: (t: number) => number,
  leftOut: (t: number, lag: number) => number,
): Arms {
  const extremes = pushes.slice(1, -1).flatMap((p): ArmExtreme[] => {
    const time = root((t) => clock(t) - (p.index + LAG), p.off - 0.1, p.off + 0.2);
    return [
      { sign: p.sign, event: "arm_front", time },
      { sign: -p.sign as Sign, event: "arm_back", time },
    ];
  });
  const at = (sign: Sign, t: number, effort: number): ArmPlace => {
    const drive = ease(0, 1, effort);
    // The left arm is in front as the left blade leaves.
    const phase = sign * leftOut(t, LAG);
    const angle = plane.mean + (plane.sweep * phase - 0.1 * (1 - drive)) * (0.25 + 0.75 * drive);
    const [forward, aside] = [Math.cos(plane.azimuth), Math.sin(plane.azimuth)];
    return {
      direction: unit([forward * Math.sin(angle), 0.2 - aside * Math.sin(angle), -Math.cos(angle)]),
      bend: ((116 - 22 * phase * drive) * Math.PI) / 180,
      pole: [-0.75, 0.5, -0.15],
    };
  };
  return { shoulderTurn: 0.17, extremes, at };
}
