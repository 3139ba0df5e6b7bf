import { useStore } from "zustand";
import { removeIcePoint } from "../../../commands/ice/removeIcePoint.ts";
import { attempt } from "../../../store/attempt.ts";
import { puttingPoints } from "../core/iceActions.ts";
import { iceScale } from "../core/iceScale.ts";
import { chosenPoint, markPoint, NO_TOOL } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { plural } from "../numbers/plural.ts";
import { offeredPoints } from "./offeredPoints.ts";
import { type Candidate, candidates } from "./scaleCandidates.ts";

/** Ice points of this trial with what the fit says of each, and places that can still be marked. */
export function IcePointList({ m }: { m: Measuring }) {
  const typed = useStore(m.ui, (s) => s.typed);
  const chosen = useStore(m.ui, chosenPoint);
  const frame = useStore(m.session, (s) => s.frame);
  const all = candidates(m.whole, m.trial.id, frame, typed);
  if (all.length === 0) return null;
  const list = offeredPoints(puttingPoints(m));
  const unseen = all.length - list.length;
  const scale = iceScale(m.whole, m.trial.id, m.picture);
  const off = (label: string) => {
    const r = scale?.ok
      ? scale.value.residuals.find((k) => k.label === label && (k.frame ?? frame) === frame)
      : undefined;
    return r
      ? `${Math.hypot(r.dxPx, r.dyPx).toFixed(1)}\u00a0px (${(100 * r.distance).toFixed(1)}\u00a0cm)`
      : "";
  };
  return (
    <div className="ice-points">
      <table>
        <thead>
          <tr>
            <th scope="col">Ice point</th>
            <th scope="col">along</th>
            <th scope="col">across</th>
            <th scope="col">off the fit</th>
            <th scope="col">
              <span className="visually-hidden">Mark or remove</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {list.map((c) => (
            <tr key={c.label} data-chosen={chosen?.label === c.label ? "" : undefined}>
              <th scope="row">{c.label}</th>
              <td className="number">{c.x.toFixed(2)} m</td>
              <td className="number">{across(c.y)}</td>
              <td className="number off-fit">{c.marked ? off(c.label) : "not marked"}</td>
              <td>
                {!m.readOnly && <Act m={m} frame={frame} candidate={c} chosen={chosen?.label === c.label} />}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {unseen > 0 && (
        <p className="quiet">{plural(unseen, "more place")} of this study can't be seen in this picture.</p>
      )}
    </div>
  );
}

function Act(props: { m: Measuring; frame: number; candidate: Candidate; chosen: boolean }) {
  const { m, frame, candidate, chosen } = props;
  const { marked, ...place } = candidate;
  if (marked) {
    return (
      <button
        type="button"
        className="plain-button"
        aria-label={`Remove ice point ${place.label}`}
        onClick={() => attempt(m.session, removeIcePoint, { trial: m.trial.id, frame, label: place.label })}
      >
        Remove
      </button>
    );
  }
  return (
    <button
      type="button"
      className="plain-button"
      aria-pressed={chosen}
      aria-label={`Mark ice point ${place.label}`}
      onClick={() => m.ui.setState({ tool: chosen ? NO_TOOL : markPoint(place) })}
    >
      {chosen ? "Press it" : "Mark"}
    </button>
  );
}

export function across(y: number): string {
  return y === 0 ? "middle" : `${Math.abs(y).toFixed(2)} m ${y > 0 ? "left" : "right"}`;
}
