import type { PlacedPoint, TrialReadings } from "../kinematics/types.ts";
import type { Side, Trial, TrialMarks } from "../study/types.ts";
import { type C3dEvent, type C3dPoint, c3dFile } from "./c3d.ts";

const OF_A_SIDE = [
  ["blade_heel", "heel end of the runner, on the ice"],
  ["blade_toe", "toe end of the runner, on the ice"],
  ["blade", "middle of the runner, on the ice or where recovery is nearest"],
  ["shoulder", "on its ray, where it most likely is"],
  ["elbow", "upper arm from the shoulder, on its ray"],
  ["wrist", "forearm from the elbow, on its ray"],
] as const satisfies readonly (readonly [PlacedPoint["point"], string])[];

const LABELS: readonly { readonly key: string; readonly label: string; readonly what: string }[] = [
  ...(["left", "right"] as const).flatMap((side) =>
    OF_A_SIDE.map(([point, what]) => ({
      key: keyOf(side, point),
      label: `${side}_${point}`,
      what: `${side} ${what}`,
    })),
  ),
  {
    key: keyOf(null, "mid_hip"),
    label: "mid_hip",
    what: "middle of both hips, on its ray where it most likely is",
  },
];

/**
 * A trial's points in space as C3D: ice frame, metres. Each is there only in frames in which the readings place it;
 * in all others it is missing. Frame n of the file is frame n − 1 of the clip, events are at their frames' times.
 *
 * Null where no point can be placed.
 */
export function trialC3d(trial: Trial, marks: TrialMarks, readings: TrialReadings): Uint8Array | null {
  const { places } = readings;
  if (!marks.picture || places.length === 0) return null;
  const at = new Map(places.map((p) => [`${p.frame} ${keyOf(p.side, p.point)}`, p]));
  const frames = [...places, ...marks.events].map((p) => p.frame);
  const [first, last] = [Math.min(...frames), Math.max(...frames)];
  const rate = trial.speedFactor / marks.picture.frameInterval;
  return c3dFile({
    labels: LABELS.map(({ label }) => label),
    descriptions: LABELS.map(({ what }) => what),
    rate,
    firstFrame: first + 1,
    frames: Array.from({ length: last - first + 1 }, (_, k) =>
      LABELS.map(({ key }): C3dPoint => at.get(`${first + k} ${key}`) ?? null),
    ),
    events: marks.events
      .slice()
      .sort((a, b) => a.frame - b.frame)
      .map(
        ({ event, side, frame }): C3dEvent => ({
          label: event.replaceAll("_", " "),
          context: side,
          seconds: frame / rate,
        }),
      ),
  });
}

function keyOf(side: Side | null, point: PlacedPoint["point"]): string {
  return side === null ? point : `${side} ${point}`;
}
