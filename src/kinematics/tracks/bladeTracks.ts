import type { Ground } from "../../ice/camera/ground.ts";
import type { MarkTable } from "../../marks/markTable.ts";
import type { Mark, Side } from "../../study/types.ts";
import { realSeconds } from "../../time/speedFactor.ts";
import { exactly } from "../../uncertainty/uncertain.ts";
import { sideSign } from "../trial/across.ts";

/** A blade in one frame of a track. */
export interface TrackPoint {
  readonly frame: number;
  /** Real seconds of the clip. */
  readonly time: number;
  /** Outward of the mean line of travel, metres on the ice; in the air as the ice behind the blade. */
  readonly out: number;
  /** Heel x, y and toe x, y in the picture, px. */
  readonly picture: readonly [number, number, number, number];
}

export interface BladeTracks {
  readonly left: readonly TrackPoint[];
  readonly right: readonly TrackPoint[];
  /** Angle between the view and the travel, degrees 0 to 90; null where the camera is not known. */
  readonly viewDeg: number | null;
}

/** Both blades in all frames in which they are marked; null where nothing can be placed or nobody moves. */
export function bladeTracks(
  marks: readonly Mark[],
  table: MarkTable,
  ground: Ground,
  speedFactor: number,
): BladeTracks | null {
  const times = new Map<number, number>();
  for (const mark of marks) times.set(mark.frame, realSeconds(mark.time, speedFactor));
  const frames = [...times.keys()].sort((a, b) => a - b);
  const placed = (["left", "right"] as const).flatMap((side) =>
    frames.flatMap((frame) => {
      const [heel, toe] = [table.get(frame, side, "blade_heel"), table.get(frame, side, "blade_toe")];
      if (!heel || !toe || ground.unplacedWhy(frame)) return [];
      const middle = { u: exactly((heel.xPx + toe.xPx) / 2), v: exactly((heel.yPx + toe.yPx) / 2) };
      const place = ground.place(middle, frame);
      if (!place) return [];
      const picture = [heel.xPx, heel.yPx, toe.xPx, toe.yPx] as const;
      return [{ side, frame, time: times.get(frame)!, x: place.x.value, y: place.y.value, picture }];
    }),
  );
  const line = meanTravel(placed);
  if (!line) return null;
  const of = (side: Side): TrackPoint[] =>
    placed
      .filter((p) => p.side === side)
      .map(({ frame, time, x, y, picture }) => ({
        frame,
        time,
        picture,
        out: sideSign(side) * ((y - line.y) * line.along[0] - (x - line.x) * line.along[1]),
      }));
  const camera = ground.cameraIn(placed[placed.length >> 1]!.frame)?.camera;
  const away = camera && Math.hypot(line.x - camera.x, line.y - camera.y);
  const sine =
    camera && away
      ? ((line.x - camera.x) * line.along[1] - (line.y - camera.y) * line.along[0]) / away
      : null;
  const viewDeg = sine === null ? null : (180 / Math.PI) * Math.asin(Math.min(1, Math.abs(sine)));
  return { left: of("left"), right: of("right"), viewDeg };
}

/** Mean place and direction of travel, by straight lines of x and y over time. */
function meanTravel(placed: readonly { readonly time: number; readonly x: number; readonly y: number }[]) {
  const n = placed.length;
  if (n < 4) return null;
  const mean = (pick: (p: (typeof placed)[number]) => number) =>
    placed.reduce((sum, p) => sum + pick(p), 0) / n;
  const [t, x, y] = [mean((p) => p.time), mean((p) => p.x), mean((p) => p.y)];
  let [tx, ty] = [0, 0];
  for (const p of placed) {
    tx += (p.time - t) * (p.x - x);
    ty += (p.time - t) * (p.y - y);
  }
  const length = Math.hypot(tx, ty);
  return length > 0 ? { x, y, along: [tx / length, ty / length] as const } : null;
}
