import type { EventFrame, Mark, Side } from "../../src/study/types.ts";
import type { Pinhole } from "./pinhole.ts";
import { normal } from "./random.ts";
import type { Point3, SimulatedSkater } from "./skater.ts";

export interface ArmTruth {
  /** Azimuth of the swing, degrees from the travel. */
  readonly directionDeg: number;
  readonly angleDeg: number;
}

export const UPPER_ARM = 0.31;
export const FOREARM = 0.26;

const plus = (a: Point3, b: Point3, length: number): Point3 => ({
  x: a.x + length * b.x,
  y: a.y + length * b.y,
  z: a.z + length * b.z,
});
const minus = (a: Point3, b: Point3): Point3 => ({ x: a.x - b.x, y: a.y - b.y, z: a.z - b.z });
const size = (a: Point3) => Math.hypot(a.x, a.y, a.z);

/**
 * One arm at the two ends of a swing in a vertical plane at `directionDeg` to the travel: upper arm forward
 * and down with the forearm raised, then upper arm back with the forearm hanging. Written for the tests alone.
 */
export function swungArm(
  skater: SimulatedSkater,
  side: Side,
  directionDeg: number,
  frames: { front: number; back: number },
  fps: number,
) {
  const azimuth = skater.heading + (directionDeg * Math.PI) / 180;
  /** Unit vector in the plane of the swing: `forward` along it, the rest up or down. */
  const inPlane = (forward: number, up: number): Point3 => ({
    x: forward * Math.cos(azimuth),
    y: forward * Math.sin(azimuth),
    z: up,
  });
  const pose = (frame: number, upper: Point3, fore: Point3) => {
    const hip = skater.midHip(frame / fps);
    const out = side === "left" ? 0.18 : -0.18;
    const shoulder = {
      x: hip.x + 0.3 * Math.cos(skater.heading) - out * Math.sin(skater.heading),
      y: hip.y + 0.3 * Math.sin(skater.heading) + out * Math.cos(skater.heading),
      z: hip.z + 0.35,
    };
    const elbow = plus(shoulder, upper, UPPER_ARM);
    return { frame, shoulder, elbow, wrist: plus(elbow, fore, FOREARM) };
  };
  const front = pose(frames.front, inPlane(0.6, -0.8), inPlane(0.8, 0.6));
  const back = pose(frames.back, inPlane(-0.8, -0.6), inPlane(0.28, -0.96));
  const [a, b] = [minus(front.wrist, front.shoulder), minus(back.wrist, back.shoulder)];
  const angleDeg = (180 / Math.PI) * Math.acos((a.x * b.x + a.y * b.y + a.z * b.z) / size(a) / size(b));
  return { front, back, truth: { directionDeg, angleDeg } satisfies ArmTruth };
}

/** Marks and events of a swung arm, with what a person would say about toward and away. */
export function filmedArm(
  arm: ReturnType<typeof swungArm>,
  side: Side,
  camera: Pinhole,
  cameraAt: readonly [number, number, number],
  fps: number,
  noise: { readonly px: number; readonly random: () => number },
): { marks: Mark[]; events: EventFrame[] } {
  const away = (p: Point3) => size(minus(p, { x: cameraAt[0], y: cameraAt[1], z: cameraAt[2] }));
  const marks: Mark[] = [];
  const events: EventFrame[] = [];
  for (const [name, pose] of [
    ["arm_front", arm.front],
    ["arm_back", arm.back],
  ] as const) {
    const time = pose.frame / fps;
    for (const point of ["shoulder", "elbow", "wrist"] as const) {
      const seen = camera.see(pose[point].x, pose[point].y, pose[point].z);
      const jitter = () => noise.px * normal(noise.random);
      marks.push({
        frame: pose.frame,
        time,
        point,
        side,
        xPx: seen.xPx + jitter(),
        yPx: seen.yPx + jitter(),
      });
    }
    events.push({
      event: name,
      side,
      frame: pose.frame,
      time,
      elbowTowardCamera: away(pose.elbow) < away(pose.shoulder),
      wristTowardCamera: away(pose.wrist) < away(pose.elbow),
    });
  }
  return { marks, events };
}
