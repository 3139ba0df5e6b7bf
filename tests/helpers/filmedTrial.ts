import type { MeasureInput } from "../../src/kinematics/types.ts";
import type { EventFrame, IcePoint, IceReference, Mark, PointName, Side } from "../../src/study/types.ts";
import type { Pinhole } from "./pinhole.ts";
import { normal } from "./random.ts";
import type { Point3, SimulatedSkater } from "./skater.ts";

export interface Filming {
  readonly camera: Pinhole;
  readonly fps: number;
  /** Zone of the lane that the ice points cover, metres. */
  readonly zone: readonly [number, number];
  /** SD of every mark, px; 0 = perfect marks. */
  readonly noisePx: number;
  /** Share of events picked one frame off. */
  readonly slips: number;
  readonly random: () => number;
  readonly statedSdPx: number;
}

/** The frames in which the eye sees each event: last frame of contact, first frame of contact, nearest. */
export function pickedFrames(skater: SimulatedSkater, filming: Filming) {
  const slip = () => {
    const r = filming.random();
    return r < filming.slips / 2 ? -1 : r < filming.slips ? 1 : 0;
  };
  return skater.offs.map((off) => ({
    side: off.side,
    off: Math.floor(off.time * filming.fps) + slip(),
    on: Math.ceil(off.onTime * filming.fps) + slip(),
    nearest: Math.round(off.nearestTime * filming.fps),
  }));
}

/** Films and marks a whole trial: about three frames a stride, both blades and both hips in each. */
export function filmedTrial(skater: SimulatedSkater, filming: Filming) {
  const { camera, fps, random, noisePx } = filming;
  const jitter = () => (noisePx === 0 ? 0 : noisePx * normal(random));
  const frames = pickedFrames(skater, filming);
  const marks: Mark[] = [];
  const put = (frame: number, side: Side, point: PointName, at: Point3) => {
    if (marks.some((m) => m.frame === frame && m.side === side && m.point === point)) return;
    const seen = camera.see(at.x, at.y, at.z);
    const [xPx, yPx] = [seen.xPx + jitter(), seen.yPx + jitter()];
    // What is out of the picture can't be marked.
    if (xPx < 0 || yPx < 0 || xPx > camera.width - 1 || yPx > camera.height - 1) return;
    marks.push({ frame, time: frame / fps, point, side, xPx, yPx });
  };
  for (const stride of frames) {
    for (const frame of [stride.off, stride.nearest, stride.on]) {
      const time = frame / fps;
      for (const side of ["left", "right"] as const) {
        put(frame, side, "blade_heel", skater.heel(side, time));
        put(frame, side, "blade_toe", skater.toe(side, time));
        put(frame, side, "hip", skater.hip(side, time));
      }
    }
  }
  const event = (name: EventFrame["event"], side: Side, frame: number): EventFrame => ({
    event: name,
    side,
    frame,
    time: frame / fps,
  });
  const events = frames.flatMap((s) => [
    event("blade_off", s.side, s.off),
    event("recovery_min", s.side, s.nearest),
    event("blade_on", s.side, s.on),
  ]);
  const [from, to] = filming.zone;
  const points: IcePoint[] = [0, 1 / 3, 2 / 3, 1].flatMap((share, k) =>
    [1.5, -1.5].map((y) => {
      const x = from + share * (to - from);
      const seen = camera.see(x, y, 0);
      return {
        label: `P${2 * k + (y > 0 ? 1 : 2)}`,
        xPx: seen.xPx + jitter(),
        yPx: seen.yPx + jitter(),
        x,
        y,
      };
    }),
  );
  const input: MeasureInput & { readonly iceReference: IceReference | null } = {
    marks,
    events,
    iceReference: { kind: "ice-points", points },
    picture: { width: camera.width, height: camera.height },
    frameInterval: 1 / fps,
    speedFactor: 1,
    body: {},
    markSdPx: filming.statedSdPx,
  };
  return { input, frames };
}
