import { Checkbox } from "@mantine/core";
import { useState } from "react";
import { useStore } from "zustand";
import type { IceReference } from "../../../../src/study/types.ts";
import { setupOf } from "../../../../src/trials/scaleReference.ts";
import { setCameraMoves } from "../../../commands/ice/setCameraMoves.ts";
import { attempt } from "../../../store/attempt.ts";
import { iceScale } from "../core/iceScale.ts";
import { NO_TOOL } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { CameraCheck } from "./CameraCheck.tsx";
import { IcePointList } from "./IcePointList.tsx";
import { KnownLengthForm } from "./KnownLengthForm.tsx";
import { LensField } from "./LensField.tsx";
import { MotionCheck } from "./MotionCheck.tsx";
import { OtherClips } from "./OtherClips.tsx";
import { ReadoutField } from "./ReadoutField.tsx";
import { RinkPlan } from "./RinkPlan.tsx";
import { SetupPanel } from "./SetupPanel.tsx";
import { SnapCard } from "./SnapCard.tsx";
import { StraightLines } from "./StraightLines.tsx";
import { LEAST_POINTS } from "./scaleAdvice.ts";
import { type SharedScale, sharedScale } from "./scaleHere.ts";
import { TypedPlaces } from "./TypedPlaces.tsx";

type Way = "rink" | "typed" | "same" | "lengths";

const WAYS: readonly { readonly value: Way; readonly label: string }[] = [
  { value: "rink", label: "Rink markings" },
  { value: "typed", label: "Own places" },
  { value: "same", label: "Same place as…" },
  { value: "lengths", label: "Known length" },
];

/** Where the scale comes from, and what it is worth. */
export function ScalePanel({ m }: { m: Measuring }) {
  const reference = m.marks.iceReference;
  const [way, setWay] = useState<Way>(() => firstWay(m));
  const grid = useStore(m.ui, (s) => s.grid);
  const moving = reference?.kind === "ice-points-by-frame";
  const choose = (next: Way) => {
    setWay(next);
    m.ui.setState({ tool: NO_TOOL });
  };
  return (
    <section className="card scale-panel" aria-label="Scale of the ice">
      <h2>Scale of the ice</h2>
      <Fit whole={m.whole} marks={m.marks} />
      <OtherClips key={`others ${m.trial.id}`} m={m} />
      {!m.readOnly && (
        <>
          <fieldset className="choices" aria-label="Where the scale comes from">
            {WAYS.map(({ value, label }) => (
              <button key={value} type="button" aria-pressed={way === value} onClick={() => choose(value)}>
                {label}
              </button>
            ))}
          </fieldset>
          {reference && replaces(reference.kind, way) && (
            <p className="care">{REPLACING[reference.kind]} Undo brings them back.</p>
          )}
          {way === "rink" && <RinkPlan m={m} />}
          {way === "typed" && <TypedPlaces m={m} />}
          {way === "same" && <SetupPanel m={m} />}
          {way === "lengths" && <KnownLengthForm m={m} />}
        </>
      )}
      {way !== "lengths" && <SnapCard m={m} />}
      {way !== "lengths" && <IcePointList m={m} />}
      <CameraCheck m={m} />
      <MotionCheck key={m.trial.id} m={m} />
      {way !== "lengths" && <LensField m={m} summary={summaryOf(m)?.lens ?? null} />}
      {way !== "lengths" && (reference || setupOf(m.whole, m.trial.id)) && (
        <StraightLines m={m} summary={summaryOf(m)} />
      )}
      <ReadoutField m={m} />
      <div className="row scale-foot">
        <Checkbox
          label="Metre grid on the ice"
          size="sm"
          checked={grid}
          onChange={(e) => m.ui.setState({ grid: e.currentTarget.checked })}
        />
        {way !== "lengths" && !m.readOnly && m.picture && (
          <Checkbox
            label="The camera pans or zooms"
            size="sm"
            checked={moving}
            onChange={(e) => {
              const { frame } = m.session.getState();
              const moves = e.currentTarget.checked;
              if (m.picture)
                attempt(m.session, setCameraMoves, { trial: m.trial.id, moves, frame, picture: m.picture });
            }}
          />
        )}
      </div>
    </section>
  );
}

function firstWay(m: Pick<Measuring, "whole" | "trial" | "marks">): Way {
  if (m.marks.iceReference?.kind === "known-lengths") return "lengths";
  const others = Object.values(m.whole.marks).some((t) => t.trial !== m.trial.id && t.iceReference);
  if (!m.marks.iceReference && others) return "same";
  return m.whole.study.lane.placement ? "rink" : "typed";
}

const REPLACING: Readonly<Record<IceReference["kind"], string>> = {
  "ice-points": "Laying a known length replaces the ice points.",
  "ice-points-by-frame": "Laying a known length replaces the ice points of all frames.",
  "known-lengths": "Putting an ice point replaces the known lengths.",
};

function replaces(kind: IceReference["kind"], way: Way): boolean {
  return kind === "known-lengths" ? way === "rink" || way === "typed" : way === "lengths";
}

function summaryOf({ whole, marks, picture }: Pick<Measuring, "whole" | "marks" | "picture">) {
  const scale = iceScale(whole, marks.trial, picture);
  return scale?.ok ? scale.value.summary : null;
}

/** The fit in px and cm, the worst point by name, and what is doubtful. */
function Fit({ whole, marks }: Pick<Measuring, "whole" | "marks">) {
  const scale = iceScale(whole, marks.trial, marks.picture);
  if (!scale)
    return (
      <p className="quiet">
        Metres need to know the ice: at least four places on it whose distances are known, six or more to be
        sure, or a known length.
      </p>
    );
  if (!scale.ok) return <p className="care">{scale.error.coach}</p>;
  const { summary, residuals } = scale.value;
  const size = (r: { dxPx: number; dyPx: number }) => Math.hypot(r.dxPx, r.dyPx);
  const worst = residuals.reduce<(typeof residuals)[number] | null>(
    (most, r) => (most === null || size(r) > size(most) ? r : most),
    null,
  );
  return (
    <div className="fit">
      {summary.kind === "ice-points" && !summary.setup && summary.points <= LEAST_POINTS && (
        <p>Four points fit always, good or bad: two more can show whether one is wrong.</p>
      )}
      {summary.rmsPx !== null && summary.rms !== null && summary.points > LEAST_POINTS && (
        <p>
          {sharedWords(sharedScale(whole, marks.trial))}
          Fit of scale{" "}
          <strong className="number">
            {summary.rmsPx.toFixed(1)} px ({(100 * summary.rms).toFixed(1)} cm on the ice)
          </strong>
          {worst && (
            <>
              ; worst is {worst.label},{" "}
              <span className="number">
                {size(worst).toFixed(1)} px ({(100 * worst.distance).toFixed(1)} cm)
              </span>
            </>
          )}
          . Far away a pixel covers many centimetres along the view, few across it.
        </p>
      )}
      {summary.camera && (
        <p className="quiet number">
          Camera {summary.camera.x.toFixed(1)} m along, {Math.abs(summary.camera.y).toFixed(1)} m{" "}
          {summary.camera.y >= 0 ? "left" : "right"}, {summary.camera.height.toFixed(1)} m up
        </p>
      )}
      {summary.warnings.map((w) => (
        <p key={w.code} className="care">
          {w.text}
        </p>
      ))}
    </div>
  );
}

function sharedWords(shared: SharedScale | null): string {
  return shared ? `One scale for all clips of “${shared.name}”. ` : "";
}
