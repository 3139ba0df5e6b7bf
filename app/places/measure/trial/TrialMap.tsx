import { useStore } from "zustand";
import type { Scale } from "../../../../src/ice/types.ts";
import type { Stride, TrialReadings } from "../../../../src/kinematics/types.ts";
import type { IceReference } from "../../../../src/study/types.ts";
import { icePlaces } from "../../../commands/ice/icePoints.ts";
import { IceMap } from "../../../icemap/IceMap.tsx";
import type { Derived } from "../../../store/readings.ts";
import { currentStride } from "../core/currentStride.ts";
import { iceScale } from "../core/iceScale.ts";
import { toTask } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { goToFrame } from "../guide/steps.ts";

interface Props
  extends Pick<Measuring, "session" | "ui" | "whole" | "marks" | "picture" | "index" | "readOnly"> {
  readonly reading: Derived<TrialReadings>;
}

/** The lane from above with what is marked on it. */
export function TrialMap({ session, ui, whole, marks, picture, index, reading, readOnly }: Props) {
  const strides = reading.ok ? reading.value.strides : NO_STRIDES;
  // Redrawn when the stride changes, not with every frame.
  const current = useStore(session, (s) => currentStride(strides, s.frame));
  const reference = marks.iceReference;
  const scale = iceScale(whole, marks.trial, picture);
  return (
    <IceMap
      lane={whole.study.lane}
      strides={strides}
      current={current}
      hull={scale?.ok ? scale.value.hull : []}
      icePoints={icePlaces(reference)}
      empty={whyEmpty(reference, scale)}
      emptyAct={
        readOnly ? null : { label: "Set the scale of the ice", act: () => ui.setState(toTask("scale")) }
      }
      onFrame={(f) => goToFrame(session, index, f)}
    />
  );
}

function whyEmpty(reference: IceReference | null, scale: Derived<Scale> | null): string | null {
  if (!reference && !scale)
    return "The ice map and every number in metres need the scale of the ice. Times and rates do without it.";
  if (reference?.kind === "known-lengths")
    return "Known lengths give a scale near them, but not a map of the lane. Ice points do.";
  return scale && !scale.ok ? scale.error.coach : null;
}

const NO_STRIDES: readonly Stride[] = [];
