import type { MeasureInput } from "../../src/kinematics/types.ts";
import type {
  EventFrame,
  FramePoints,
  IcePoint,
  IceReference,
  Mark,
  PointName,
  Side,
} from "../../src/study/types.ts";
import { pickedFrames } from "./filmedTrial.ts";
import { type Pinhole, pinhole } from "./pinhole.ts";
import { normal } from "./random.ts";
import type { Point3, SimulatedSkater } from "./skater.ts";

export interface Panning {
  /** Place of the tripod: x, y, height. */
  readonly from: readonly [number, number, number];
  /** Where on the lane the camera looks, and its lens, at a time. */
  readonly aimAt: (time: number) => readonly [number, number];
  readonly hfovAt: (time: number) => number;
  readonly fps: number;
  readonly noisePx: number;
  readonly statedSdPx: number;
  readonly random: () => number;
  /** Ice points a frame: the key frames' and the others'. */
  readonly keyPoints: number;
  readonly framePoints: number;
  readonly keyFrames: number;
  /** How far the optical centre lies before the axis the camera turns about, metres; absent = on it. */
  readonly axisOffset?: number;
  /** Where the optical axis meets the picture, px from its middle; absent = in the middle. */
  readonly principalPoint?: readonly [x: number, y: number];
}

/** Dots along both edges of the lane, every 3 m. */
const DOTS = Array.from({ length: 14 }, (_, k) => 3 * k).flatMap((x) =>
  [1.5, -1.5].map((y) => ({ x, y, label: `${y > 0 ? "L" : "R"}${x}` })),
);

/** A skater filmed by a camera that turns (and zooms) on its tripod, marked in the event frames alone. */
export function pannedTrial(skater: SimulatedSkater, panning: Panning) {
  const { fps, random, noisePx } = panning;
  const jitter = () => (noisePx === 0 ? 0 : noisePx * normal(random));
  const [offX, offY] = panning.principalPoint ?? [0, 0];
  const cameraIn = (frame: number): Pinhole => {
    const centred = pinhole(
      beforeAxis(panning, frame / fps),
      panning.aimAt(frame / fps),
      panning.hfovAt(frame / fps),
    );
    return {
      ...centred,
      see: (x, y, z) => {
        const { xPx, yPx } = centred.see(x, y, z);
        return { xPx: xPx + offX, yPx: yPx + offY };
      },
    };
  };
  const inside = (camera: Pinhole, p: { xPx: number; yPx: number }) =>
    p.xPx >= 0 && p.yPx >= 0 && p.xPx <= camera.width - 1 && p.yPx <= camera.height - 1;
  const frames = pickedFrames(skater, { ...panning, camera: cameraIn(0), zone: [0, 1], slips: 0 });
  const marks: Mark[] = [];
  const put = (frame: number, side: Side, point: PointName, at: Point3) => {
    if (marks.some((m) => m.frame === frame && m.side === side && m.point === point)) return;
    const camera = cameraIn(frame);
    const seen = camera.see(at.x, at.y, at.z);
    const mark = { xPx: seen.xPx + jitter(), yPx: seen.yPx + jitter() };
    if (inside(camera, mark)) marks.push({ frame, time: frame / fps, point, side, ...mark });
  };
  const scored = [...new Set(frames.flatMap((s) => [s.off, s.nearest, s.on]))].sort((a, b) => a - b);
  for (const frame of scored) {
    for (const side of ["left", "right"] as const) {
      put(frame, side, "blade_heel", skater.heel(side, frame / fps));
      put(frame, side, "blade_toe", skater.toe(side, frame / fps));
      put(frame, side, "hip", skater.hip(side, frame / fps));
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
  const every = Math.floor((scored.length - 1) / Math.max(1, panning.keyFrames - 1));
  const iceFrames = scored.map((frame, k): FramePoints => {
    const camera = cameraIn(frame);
    const visible = DOTS.flatMap((dot): IcePoint[] => {
      const seen = camera.see(dot.x, dot.y, 0);
      // What is behind the camera is mirrored in front of it by the formulas.
      const ahead =
        (dot.x - panning.from[0]) * (panning.aimAt(frame / fps)[0] - panning.from[0]) +
        (dot.y - panning.from[1]) * (panning.aimAt(frame / fps)[1] - panning.from[1]);
      const point = { ...dot, xPx: seen.xPx + jitter(), yPx: seen.yPx + jitter() };
      return ahead > 0 && inside(camera, point) ? [point] : [];
    });
    const isKey = k % every === 0 && k / every < panning.keyFrames;
    return { frame, points: fewOf(visible, isKey ? panning.keyPoints : panning.framePoints) };
  });
  const input: MeasureInput & { readonly iceReference: IceReference | null } = {
    marks,
    events,
    iceReference: { kind: "ice-points-by-frame", frames: iceFrames },
    picture: { width: 1920, height: 1080 },
    frameInterval: 1 / fps,
    speedFactor: 1,
    body: {},
    markSdPx: panning.statedSdPx,
  };
  return { input, frames, iceFrames, cameraIn };
}

function beforeAxis(
  { from, aimAt, axisOffset = 0 }: Panning,
  time: number,
): readonly [number, number, number] {
  const [x, y] = aimAt(time);
  const share = axisOffset / Math.hypot(x - from[0], y - from[1]);
  return [from[0] + share * (x - from[0]), from[1] + share * (y - from[1]), from[2]];
}

/** The points farthest apart from each other in the picture, one after another. */
function fewOf(points: readonly IcePoint[], count: number): IcePoint[] {
  const chosen: IcePoint[] = [];
  const away = (p: IcePoint) => Math.min(...chosen.map((q) => Math.hypot(p.xPx - q.xPx, p.yPx - q.yPx)));
  const rest = points.slice().sort((a, b) => a.xPx - b.xPx);
  while (chosen.length < count && rest.length > 0) {
    const best =
      chosen.length === 0 ? 0 : rest.reduce((most, p, k) => (away(p) > away(rest[most]!) ? k : most), 0);
    chosen.push(...rest.splice(best, 1));
  }
  return chosen;
}
