import { type KeyboardEvent, type PointerEvent, type RefObject, useRef, useState } from "react";
import type { AtPoint, PlannedQuantity } from "../../../../src/ice/placement/alongZone.ts";
import type { CameraPlan } from "../../../../src/study/types.ts";
import { withUnit } from "../../../../src/uncertainty/format.ts";
import { gradeOf, type LaneView, onDrawing, onIce, RUN_OUT_DRAWN } from "./laneView.ts";
import { shownNumber, unitOf } from "./plannedWords.ts";

type Handle = "camera" | "aim";

interface Props {
  readonly view: LaneView;
  readonly lane: number;
  /** One or two. */
  readonly cameras: readonly DrawnCamera[];
  readonly points: readonly DrawnPoint[];
  readonly quantity: PlannedQuantity;
  readonly readOnly: boolean;
}

export interface DrawnCamera {
  /** "Camera", "Second camera" */
  readonly name: string;
  readonly plan: CameraPlan;
  /** While a handle is being dragged. */
  onTry(plan: CameraPlan): void;
  /** When it is let go. */
  onPut(plan: CameraPlan, what: string): void;
}

/** A place of the lane: what can be measured there, and why not. */
export interface DrawnPoint {
  readonly x: number;
  readonly expected: AtPoint["expected"];
  readonly why: string | null;
}

/** The lane from above with what to expect along it; camera and aim can be dragged or moved by arrow keys. */
export function LaneDrawing(props: Props) {
  const { view, lane, cameras, points, quantity } = props;
  const svg = useRef<SVGSVGElement>(null);
  return (
    <svg ref={svg} className="lane-drawing" width={view.width} height={view.height} role="presentation">
      <defs>
        <pattern
          id="refused"
          width="6"
          height="6"
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(45)"
        >
          <line x1="0" y1="0" x2="0" y2="6" className="hatch" />
        </pattern>
      </defs>
      <RunOut view={view} lane={lane} />
      {cameras.map(({ name, plan }) => (
        <Wedge key={name} view={view} plan={plan} />
      ))}
      <Segments view={view} points={points} quantity={quantity} />
      <Ends view={view} lane={lane} />
      {cameras.map((one, k) => (
        <CameraHandles
          key={one.name}
          {...one}
          second={k > 0}
          view={view}
          svg={svg}
          readOnly={props.readOnly}
        />
      ))}
    </svg>
  );
}

interface HandleProps extends DrawnCamera {
  readonly second: boolean;
  readonly view: LaneView;
  readonly svg: RefObject<SVGSVGElement | null>;
  readonly readOnly: boolean;
}

/** A camera and the point it looks at. */
function CameraHandles({ name, plan, second, view, svg, readOnly, onTry, onPut }: HandleProps) {
  const [held, setHeld] = useState<Handle | null>(null);
  const moved = (handle: Handle, x: number, y: number): CameraPlan =>
    handle === "camera" ? { ...plan, x, y } : { ...plan, aimX: x, aimY: y };
  const at = (e: PointerEvent) => {
    const box = svg.current?.getBoundingClientRect();
    return onIce(view, e.clientX - (box?.left ?? 0), e.clientY - (box?.top ?? 0));
  };
  const handlers = (handle: Handle) =>
    readOnly
      ? {}
      : {
          tabIndex: 0,
          onPointerDown: (e: PointerEvent<SVGElement>) => {
            e.currentTarget.setPointerCapture(e.pointerId);
            setHeld(handle);
          },
          onPointerMove: (e: PointerEvent<SVGElement>) => {
            if (held !== handle) return;
            const { x, y } = at(e);
            onTry(moved(handle, x, y));
          },
          onPointerUp: (e: PointerEvent<SVGElement>) => {
            if (held !== handle) return;
            setHeld(null);
            const { x, y } = at(e);
            onPut(moved(handle, x, y), NAMES[handle]);
          },
          onPointerCancel: () => setHeld(null),
          onKeyDown: (e: KeyboardEvent) => {
            const step = STEPS[e.key];
            if (!step) return;
            e.preventDefault();
            const [x, y] = handle === "camera" ? [plan.x, plan.y] : [plan.aimX, plan.aimY];
            const size = e.shiftKey ? 0.1 : 0.5;
            onPut(moved(handle, tenth(x + size * step[0]), tenth(y + size * step[1])), NAMES[handle]);
          },
        };
  const camera = onDrawing(view, plan.x, plan.y);
  const aim = onDrawing(view, plan.aimX, plan.aimY);
  return (
    <>
      <g
        className="handle aim"
        transform={`translate(${aim.x} ${aim.y})`}
        role="slider"
        aria-label={
          second
            ? "Point of the ice in the middle of the second picture"
            : "Point of the ice in the middle of the picture"
        }
        aria-valuetext={`${plan.aimX} m along the lane, ${sideWords(plan.aimY)}`}
        aria-valuenow={plan.aimX}
        {...handlers("aim")}
      >
        <circle r="12" className="grip" />
        <path d="M-7 0H7M0 -7V7" />
        <title>Aim: the point of the ice in the middle of the picture. Drag it, or use the arrow keys.</title>
      </g>
      <g
        className="handle camera"
        transform={`translate(${camera.x} ${camera.y})`}
        role="slider"
        aria-label={name}
        aria-valuetext={`${plan.x} m along the lane, ${sideWords(plan.y)}`}
        aria-valuenow={plan.x}
        {...handlers("camera")}
      >
        <circle r="14" className="grip" />
        <rect x="-9" y="-6" width="18" height="12" rx="2" />
        <circle r="3.5" className="lens" />
        {second && (
          <text className="camera-number" y="-18" textAnchor="middle">
            2
          </text>
        )}
        <title>{name}. Drag it, or use the arrow keys (with Shift for 10 cm).</title>
      </g>
    </>
  );
}

const NAMES: Readonly<Record<Handle, string>> = {
  camera: "where the camera stands",
  aim: "where the camera looks",
};
const STEPS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowRight: [1, 0],
  ArrowLeft: [-1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

function tenth(value: number): number {
  return Math.round(10 * value) / 10;
}

export function sideWords(y: number): string {
  return y === 0 ? "on the lane's axis" : `${Math.abs(y)} m to the skater's ${y > 0 ? "left" : "right"}`;
}

/** Half the drawn width of the lane, metres. */
const HALF_LANE = 1.5;

function RunOut({ view, lane }: { view: LaneView; lane: number }) {
  const from = onDrawing(view, lane, HALF_LANE);
  const to = onDrawing(view, lane + RUN_OUT_DRAWN, -HALF_LANE);
  return (
    <g className="run-out">
      <rect x={from.x} y={from.y} width={to.x - from.x} height={to.y - from.y} />
      <text x={(from.x + to.x) / 2} y={(from.y + to.y) / 2 + 4} textAnchor="middle">
        run-out, kept clear
      </text>
    </g>
  );
}

/** What the lens takes in, from side to side. */
function Wedge({ view, plan }: { view: LaneView; plan: CameraPlan }) {
  const heading = Math.atan2(plan.aimY - plan.y, plan.aimX - plan.x);
  const half = (plan.hfovDeg * Math.PI) / 360;
  const reach = 120;
  const corner = (angle: number) => {
    const p = onDrawing(view, plan.x + reach * Math.cos(angle), plan.y + reach * Math.sin(angle));
    return `${p.x} ${p.y}`;
  };
  const from = onDrawing(view, plan.x, plan.y);
  return (
    <path className="wedge" d={`M${from.x} ${from.y}L${corner(heading - half)}L${corner(heading + half)}Z`} />
  );
}

function Segments({
  view,
  points,
  quantity,
}: {
  view: LaneView;
  points: readonly DrawnPoint[];
  quantity: PlannedQuantity;
}) {
  const step = (points[1]?.x ?? 0) - (points[0]?.x ?? 0);
  return (
    <g className="segments">
      {points.map((point) => {
        const { why } = point;
        const from = onDrawing(view, point.x - step / 2, HALF_LANE);
        const to = onDrawing(view, point.x + step / 2, -HALF_LANE);
        const value = shownNumber(point.expected[quantity], quantity);
        return (
          <g key={point.x}>
            <rect
              x={from.x}
              y={from.y}
              width={to.x - from.x}
              height={to.y - from.y}
              data-grade={why === null ? gradeOf(point.expected[quantity], quantity) : "refused"}
            >
              <title>
                {why === null
                  ? `${point.x.toFixed(1)} m: ± ${withUnit(value, unitOf(quantity))} for one stride`
                  : `${point.x.toFixed(1)} m: ${why}`}
              </title>
            </rect>
            <text x={(from.x + to.x) / 2} y={from.y - 6} textAnchor="middle">
              {why === null ? value : "–"}
            </text>
          </g>
        );
      })}
    </g>
  );
}

function Ends({ view, lane }: { view: LaneView; lane: number }) {
  return (
    <g className="lane-ends">
      {[
        { x: 0, word: "start" },
        { x: lane, word: "finish" },
      ].map(({ x, word }) => {
        const top = onDrawing(view, x, HALF_LANE);
        const foot = onDrawing(view, x, -HALF_LANE);
        return (
          <g key={word}>
            <line x1={top.x} y1={top.y} x2={foot.x} y2={foot.y} />
            <text x={foot.x} y={foot.y + 16} textAnchor="middle">
              {word}, {x} m
            </text>
          </g>
        );
      })}
    </g>
  );
}
