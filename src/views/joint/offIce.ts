import { bladeBelief, recoveringBlade } from "../../kinematics/quantities/recoveryToMidline.ts";
import { markMiddle } from "../../kinematics/trial/airborne.ts";
import { bodyAlong, type HipAt, hipHeight, midHip } from "../../kinematics/trial/midHip.ts";
import { speedAlong, type TravelLine, travelLine } from "../../kinematics/trial/travelLine.ts";
import type { EventFrame, PointName, Side } from "../../study/types.ts";
import { condensed } from "../../uncertainty/uncertain.ts";
import { type JointPoint, jointPoint, type PointBelief, type Sight } from "./jointPoint.ts";
import { BODY, type Motion, movedIn, RECOVERING } from "./moved.ts";
import type { Push } from "./pushes.ts";
import { had, type Joint, secondsBetween, type View } from "./view.ts";

/** Something off the ice that several views show at one moment. */
export interface Moment {
  readonly joint: Joint;
  /** In whose frame it is wanted. */
  readonly base: View;
  readonly push: Push;
  readonly what: "off" | "on" | "nearest";
}

/** How badly the rays of a point meet, for the views and frames that show it. */
export interface Meeting {
  readonly moment: Moment;
  readonly what: "mid-hip" | "recovering blade";
  readonly point: JointPoint;
  readonly views: readonly number[];
  readonly frames: readonly number[];
}

type Points = readonly (readonly [Side, PointName])[];

const HIPS: Points = [
  ["left", "hip"],
  ["right", "hip"],
];

/** Mid-hip of a moment by the rays of all views that show both hips in its frame; by one view's ray where no other does. */
export function jointHip(moment: Moment, met: (meeting: Meeting) => void): HipAt {
  return (trial, frame, line) => {
    const belief = had(() => ({
      line,
      along: bodyAlong(trial, frame, line),
      height: hipHeight(trial, frame),
    }));
    const found = belief && bySeveral(moment, HIPS, line, belief, BODY);
    if (!found) return midHip(trial, frame, line);
    met({ moment, what: "mid-hip", ...found });
    return summed(found.point);
  };
}

/** The recovering blade at its nearest by the rays of all views that show it. */
export function jointBlade(moment: Moment, met: (meeting: Meeting) => void): typeof recoveringBlade {
  return (trial, n) => {
    const alone = recoveringBlade(trial, n);
    const at = trial.strides[n - 1]!;
    const ends: Points = [
      [at.side, "blade_heel"],
      [at.side, "blade_toe"],
    ];
    const line = travelLine(trial, n);
    const belief = { line, ...bladeBelief(trial, at, line) };
    const found = bySeveral(moment, ends, line, belief, RECOVERING);
    if (!found) return alone;
    met({ moment, what: "recovering blade", ...found });
    return { ...alone, place: { ...summed(found.point), z: found.point.z.value } };
  };
}

function summed({ x, y }: JointPoint) {
  return { x: condensed(x, false), y: condensed(y, false), z: 0 };
}

/** The point of a moment by all views that show it; null where only one does. */
function bySeveral(
  { joint, base, push, what }: Moment,
  points: Points,
  line: TravelLine,
  belief: PointBelief,
  motion: Motion,
): Pick<Meeting, "point" | "views" | "frames"> | null {
  const shown = joint.views.flatMap((view): { view: View; event: EventFrame; sight: Sight }[] => {
    const event = push.exchanged.includes(view.index) ? null : push.strides[view.index]?.[what];
    if (!event || !view.trial.ground.cameraIn(event.frame) || view.trial.ground.offIceWhy) return [];
    const mark = had(() => markMiddle(view.trial, event.frame, points));
    if (!mark) return [];
    const from = push.strides[base.index]![what]!;
    const moved =
      view === base
        ? null
        : movedIn(
            secondsBetween([base, from], [view, event]),
            line,
            speedAlong(base.trial, line),
            motion,
            joint.sources,
          );
    return [{ view, event, sight: { trial: view.trial, frame: event.frame, mark, moved } }];
  });
  if (shown.length < 2 || !shown.some(({ view }) => view === base)) return null;
  const point = jointPoint(
    shown.map(({ sight }) => sight),
    belief,
    before(belief),
  );
  return { point, views: shown.map(({ view }) => view.index), frames: shown.map(({ event }) => event.frame) };
}

/** Where a belief holds a point to be, on the line itself. */
export function before({
  line: { from, to },
  along,
  height,
}: PointBelief): readonly [number, number, number] {
  const [dx, dy] = [to.x.value - from.x.value, to.y.value - from.y.value];
  const long = Math.hypot(dx, dy);
  return [from.x.value + (along.value * dx) / long, from.y.value + (along.value * dy) / long, height.value];
}
