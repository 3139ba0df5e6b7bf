import { NativeSelect } from "@mantine/core";
import { useDeferredValue, useMemo, useRef, useState } from "react";
import {
  type AtPoint,
  alongZone,
  MOST,
  type PlannedQuantity,
  refusalAt,
} from "../../../../src/ice/placement/alongZone.ts";
import { placementAdvice } from "../../../../src/ice/placement/placementAdvice.ts";
import { type AtPointOfTwo, alongZoneOfTwo } from "../../../../src/ice/placement/twoCameras.ts";
import type { CameraPlan, Study } from "../../../../src/study/types.ts";
import { setCameraPlan } from "../../../commands/plan/setCameraPlan.ts";
import { setSecondCamera } from "../../../commands/plan/setSecondCamera.ts";
import { useSize } from "../../../frame/useSize.ts";
import type { Session } from "../../../store/session.ts";
import { Card } from "../../shared/Card.tsx";
import { tryCommand } from "../../shared/tryCommand.ts";
import type { KeptThings } from "../../shared/useLibrary.ts";
import { CameraFields } from "./CameraFields.tsx";
import { type DrawnPoint, LaneDrawing } from "./LaneDrawing.tsx";
import { firstPlan, GRADES, laneView } from "./laneView.ts";
import { QUANTITIES, unitOf, upToWords } from "./plannedWords.ts";
import { beside, SecondCamera } from "./SecondCamera.tsx";
import { SetupLine } from "./SetupLine.tsx";
import "./camera.css";

const POINTS = 13;

/** Where to put the camera: the lane with the precision to expect from there, before anything is filmed. */
export function CameraCard({
  session,
  study,
  readOnly,
  kept,
}: {
  session: Session;
  study: Study;
  readOnly: boolean;
  kept: KeptThings;
}) {
  const lane = study.lane.distance;
  return (
    <Card
      title="Camera"
      area="camera"
      note="What one stride could be measured to from here, ± half of its 95 % interval. Drag the camera and its aim."
    >
      {lane > 0 ? (
        <Placement session={session} study={study} readOnly={readOnly} library={kept} />
      ) : (
        <p className="quiet">Give the lane's distance first; then the camera can be placed beside it.</p>
      )}
    </Card>
  );
}

function Placement({
  session,
  study,
  readOnly,
  library,
}: {
  session: Session;
  study: Study;
  readOnly: boolean;
  library: KeptThings;
}) {
  const lane = study.lane.distance;
  const kept = study.cameraPlan ?? firstPlan(lane);
  const [tried, setTried] = useState<CameraPlan | null>(null);
  const [triedSecond, setTriedSecond] = useState<CameraPlan | null>(null);
  const [quantity, setQuantity] = useState<PlannedQuantity>("strideWidth");
  const [refused, setRefused] = useState<string | null>(null);
  const host = useRef<HTMLDivElement>(null);
  const { width } = useSize(host);
  const plan = tried ?? kept;
  const put = (next: CameraPlan, what: string) => {
    const why = tryCommand(session, setCameraPlan, { plan: next, what });
    setRefused(why);
    setTried(null);
    return why;
  };
  const points = useMemo(() => pointsOf(plan, lane, study.markSdPx), [plan, lane, study.markSdPx]);
  const second = triedSecond ?? study.secondCamera ?? null;
  const putSecond = (next: CameraPlan | null, what: string) => {
    const why = tryCommand(session, setSecondCamera, { plan: next, what });
    setRefused(why);
    setTriedSecond(null);
    return why;
  };
  const both = useMemo(
    () => second && alongZoneOfTwo([plan, second], [0, lane], study.markSdPx, POINTS),
    [plan, second, lane, study.markSdPx],
  );
  const settled = useDeferredValue(kept);
  const advice = useMemo(
    () => placementAdvice(settled, [0, lane], lane, study.markSdPx),
    [settled, lane, study.markSdPx],
  );
  // Where the skater is out of the picture is said by the advice.
  const reasons = [...new Set(points.flatMap((point) => (point.seen && refusalAt(point, quantity)) || []))];
  return (
    <>
      <CameraFields plan={plan} unit={study.lane.unit} readOnly={readOnly} onPut={put}>
        <NativeSelect
          label="Shown along the lane"
          size="sm"
          data={[...QUANTITIES]}
          value={quantity}
          onChange={(e) => setQuantity(e.currentTarget.value as PlannedQuantity)}
        />
      </CameraFields>
      <figure ref={host} className="lane-drawing-host" aria-label="The lane from above with the camera">
        {width > 0 && (
          <LaneDrawing
            view={laneView(lane, width)}
            lane={lane}
            cameras={[
              {
                ...{ name: "Camera", plan, onPut: put },
                onTry: (next) => setTried(pointsCanBe(next) ? next : tried),
              },
              ...(second
                ? [
                    {
                      ...{ name: "Second camera", plan: second, onPut: putSecond },
                      onTry: (next: CameraPlan) => setTriedSecond(pointsCanBe(next) ? next : triedSecond),
                    },
                  ]
                : []),
            ]}
            points={points.map((point, k) => drawnPoint(point, both?.[k] ?? null, quantity))}
            quantity={quantity}
            readOnly={readOnly}
          />
        )}
      </figure>
      <p className="quiet lane-legend">
        Numbers over the lane: ± {unitOf(quantity)} for one stride.
        {GRADES.map(({ grade, upTo }) => (
          <span key={grade} className="lane-key">
            <span className="swatch" data-grade={grade} /> up to {upToWords(quantity, upTo)}
          </span>
        ))}
        <span className="lane-key">
          <span className="swatch" data-grade="refused" /> refused: more than that, or not in the picture
        </span>
      </p>
      {!readOnly && (
        <SetupLine
          plan={kept}
          kept={library}
          onUse={(used, name) => put(used, `the camera's place to that of ${name}`)}
        />
      )}
      <SecondCamera
        plan={second}
        points={both}
        unit={study.lane.unit}
        readOnly={readOnly}
        onPut={putSecond}
        first={() => putSecond(beside(plan, lane), "where the camera stands")}
      />
      {refused && (
        <p className="care" role="alert">
          {refused}
        </p>
      )}
      <ul className="camera-advice">
        {reasons.map((why) => (
          <li key={why} className="care">
            Refused in part of the lane: {why}
          </li>
        ))}
        {advice.map((words) => (
          <li key={words}>{words}</li>
        ))}
      </ul>
    </>
  );
}

/** A place as both cameras show it, or as the one that sees the skater there. */
function drawnPoint(one: AtPoint, of: AtPointOfTwo | null, quantity: PlannedQuantity): DrawnPoint {
  if (of?.both) {
    const { both } = of;
    const why = both[quantity] <= MOST[quantity] ? null : refusalAt(one, quantity);
    return { x: one.x, expected: both, why };
  }
  const at = of && refusalAt(one, quantity) !== null ? of.two : one;
  return { x: one.x, expected: at.expected, why: refusalAt(at, quantity) };
}

function pointsOf(plan: CameraPlan, lane: number, markSdPx: number) {
  return alongZone(plan, [0, lane], markSdPx, POINTS);
}

/** A drag over its own aim would leave no direction to look in. */
function pointsCanBe(plan: CameraPlan): boolean {
  return Math.hypot(plan.aimX - plan.x, plan.aimY - plan.y) >= 0.5;
}
