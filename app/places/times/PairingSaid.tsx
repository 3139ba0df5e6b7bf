import { Tooltip } from "@mantine/core";
import type { Warning } from "../../../src/reading.ts";

/**
 * That the clip's own gate-to-gate time fits the photocells'. What can't be checked yet is left unsaid here, Measure says what is
 * missing; a contradiction has a line of its own (`ClipSaid`).
 */
export function PairingSaid({ said }: { said: Warning | null }) {
  if (said?.code !== "pairing") return null;
  return (
    <Tooltip label={said.text}>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: the sentence must be within reach of the keyboard */}
      <span className="quiet clip-state" tabIndex={0}>
        fits the time
      </span>
    </Tooltip>
  );
}

/** Whether the pairing contradicts the time: then it is read, not hovered for. */
export function isContradiction(said: Warning | null): said is Warning {
  return said !== null && said.code !== "pairing" && said.code !== "pairing-not-checked";
}
