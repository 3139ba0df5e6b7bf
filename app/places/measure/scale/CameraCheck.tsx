import { Button } from "@mantine/core";
import { useStore } from "zustand";
import { removeRechecks } from "../../../commands/ice/removeRechecks.ts";
import { attempt } from "../../../store/attempt.ts";
import { lastFrame } from "../../../store/clipFrames.ts";
import { NO_TOOL, standing } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { goToFrame } from "../guide/steps.ts";

/** Was a still camera bumped? One ice point pressed again on a late frame tells. */
export function CameraCheck({ m }: { m: Measuring }) {
  const tool = standing(
    useStore(m.ui, (s) => s.tool),
    m.marks,
  );
  const reference = m.marks.iceReference;
  if (reference?.kind !== "ice-points" || !m.index) return null;
  const [first] = reference.points;
  if (!first) return null;
  const { rechecks = [] } = reference;
  const check = (label: string) => m.ui.setState({ tool: { kind: "recheck", label } });
  const start = () => {
    goToFrame(m.session, m.index, lastFrame(m.index));
    check(first.label);
  };
  return (
    <div className="camera-check">
      {rechecks.length > 0 && (
        <p className="quiet">
          Checked again: {rechecks.map((r) => `${r.label} on frame ${r.frame}`).join(", ")}.
        </p>
      )}
      {!m.readOnly && (
        <div className="row">
          {tool.kind !== "recheck" ? (
            <Button size="compact-sm" variant="light" onClick={start}>
              Check on the last frame that the camera stood still
            </Button>
          ) : (
            <>
              <label>
                Press on the frame:{" "}
                <select value={tool.label} onChange={(e) => check(e.currentTarget.value)}>
                  {reference.points.map((p) => (
                    <option key={p.label}>{p.label}</option>
                  ))}
                </select>
              </label>
              <Button size="compact-sm" variant="default" onClick={() => m.ui.setState({ tool: NO_TOOL })}>
                Leave it
              </Button>
            </>
          )}
          {rechecks.length > 0 && (
            <button
              type="button"
              className="plain-button"
              onClick={() => attempt(m.session, removeRechecks, { trial: m.trial.id })}
            >
              Take the check back
            </button>
          )}
        </div>
      )}
    </div>
  );
}
