import { formatNumber } from "../../../../src/uncertainty/format.ts";
import { setReadout } from "../../../commands/ice/setReadout.ts";
import { Field } from "../../shared/Field.tsx";
import { tryCommand } from "../../shared/tryCommand.ts";
import type { Measuring } from "../core/useMeasure.ts";

/** How long a panned camera takes from a frame's first row to its last, where somebody knows. */
export function ReadoutField({
  m,
}: {
  m: Pick<Measuring, "session" | "trial" | "marks" | "picture" | "readOnly">;
}) {
  const reference = m.marks.iceReference;
  const interval = m.picture?.frameInterval;
  if (reference?.kind !== "ice-points-by-frame" || !m.marks.motion || !interval) return null;
  const frameMs = (1000 * interval) / m.trial.speedFactor;
  return (
    <Field
      size="xs"
      label="Readout, ms"
      help="Milliseconds from the first row of a frame to its last (rolling shutter), where they are known of this camera. Blank: learned from the ice points as the picture moves."
      placeholder="from the ice points"
      readOnly={m.readOnly}
      value={reference.readoutShare === undefined ? "" : formatNumber(frameMs * reference.readoutShare, 1)}
      onCommit={(text) => {
        const share = text.trim() === "" ? null : Number(text.replace(",", ".")) / frameMs;
        if (share !== null && !(share >= 0 && share <= 1))
          return `“${text}” is not a readout time. Type from 0 to ${formatNumber(frameMs, 1)} ms, the time between two frames, or leave it blank.`;
        return tryCommand(m.session, setReadout, { trial: m.trial.id, share });
      }}
    />
  );
}
