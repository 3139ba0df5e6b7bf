import { useState } from "react";
import { useStore } from "zustand";
import { type RinkLine, rinkByKey, rinkLines, toRink } from "../../../../src/ice/rink/rinkMarkings.ts";
import { icePointsOn } from "../../../commands/ice/icePoints.ts";
import { chosenPoint, markPoint, NO_TOOL } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { PlaceLane } from "./PlaceLane.tsx";
import { rinkCandidates } from "./scaleCandidates.ts";

/** The rink from above with its markings: choose one, then press it on the frame. */
export function RinkPlan({ m }: { m: Pick<Measuring, "session" | "ui" | "whole" | "marks"> }) {
  const chosen = useStore(m.ui, chosenPoint);
  const frame = useStore(m.session, (s) => s.frame);
  const [placing, setPlacing] = useState(false);
  const { lane } = m.whole.study;
  const { placement } = lane;
  if (!placement || placing) return <PlaceLane m={m} onDone={() => setPlacing(false)} />;
  const rink = rinkByKey(placement.rink);
  const points = rinkCandidates(placement);
  const marked = new Set(icePointsOn(m.marks.iceReference, frame).map((p) => p.label));
  const start = toRink({ x: 0, y: 0 }, placement);
  const finish = toRink({ x: lane.distance, y: 0 }, placement);
  const at = (x: number, y: number) => ({
    left: `${(100 * (x + rink.length / 2)) / rink.length}%`,
    top: `${(100 * (rink.width / 2 - y)) / rink.width}%`,
  });
  return (
    <div>
      <p className="quiet">
        {rink.name}. Choose a marking, then press it on the frame. The dashed line is the lane, its dot the
        finish.{" "}
        <button type="button" className="plain-button" onClick={() => setPlacing(true)}>
          Change where it lies
        </button>
      </p>
      <div className="rink" style={{ aspectRatio: `${rink.length} / ${rink.width}` }}>
        <svg
          viewBox={`${-rink.length / 2} ${-rink.width / 2} ${rink.length} ${rink.width}`}
          aria-hidden="true"
          preserveAspectRatio="none"
        >
          <g transform="scale(1,-1)">
            {rinkLines(placement.rink).map((line) => (
              <RinkStroke key={`${line.kind} ${outline(line).slice(0, 40)}`} line={line} />
            ))}
            <line className="rink-lane" x1={start.x} y1={start.y} x2={finish.x} y2={finish.y} />
            <circle className="rink-lane-end" cx={finish.x} cy={finish.y} r={0.7} />
          </g>
        </svg>
        {points.map(({ rinkX, rinkY, description, ...place }) => (
          <button
            key={place.label}
            type="button"
            className="rink-point"
            style={at(rinkX, rinkY)}
            data-marked={marked.has(place.label) ? "" : undefined}
            aria-pressed={chosen?.label === place.label}
            title={`${place.label}: ${description}`}
            aria-label={`${place.label}: ${description}${marked.has(place.label) ? " Marked." : ""}`}
            onClick={() =>
              m.ui.setState({ tool: chosen?.label === place.label ? NO_TOOL : markPoint(place) })
            }
          />
        ))}
      </div>
      {chosen && (
        <p>
          <strong>{chosen.label}</strong>{" "}
          <span className="quiet">{points.find((p) => p.label === chosen.label)?.description}</span>
        </p>
      )}
    </div>
  );
}

function outline(line: RinkLine): string {
  return line.points.map((p) => `${p.x},${p.y}`).join(" ");
}

function RinkStroke({ line }: { line: RinkLine }) {
  const props = {
    className: `rink-line ${line.kind.replace(" ", "-")}`,
    points: outline(line),
    strokeWidth: Math.max(0.16, line.width),
  };
  return line.closed ? <polygon {...props} /> : <polyline {...props} />;
}
