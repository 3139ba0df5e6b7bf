import { Tooltip } from "@mantine/core";
import type { Warning } from "../../../src/reading.ts";

/**
 * What the clip's own gate-to-gate time says against the photocells. A contradiction is read, not hovered for; what
 * can't be checked yet is left unsaid here, Measure says what is missing.
 */
export function PairingSaid({ said }: { said: Warning | null }) {
  if (!said || said.code === "pairing-not-checked") return null;
  if (said.code === "pairing") {
    return (
      <Tooltip label={said.text}>
        {/* biome-ignore lint/a11y/noNoninteractiveTabindex: the sentence must be within reach of the keyboard */}
        <span className="quiet clip-state" tabIndex={0}>
          fits the time
        </span>
      </Tooltip>
    );
  }
  return <p className="bad clip-said">{said.text}</p>;
}
