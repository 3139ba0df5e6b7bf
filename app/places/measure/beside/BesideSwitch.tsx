import { Tooltip } from "@mantine/core";
import { useStore } from "zustand";
import type { Measuring } from "../core/useMeasure.ts";
import { besideClips } from "./besideClips.ts";

/** Shows another clip of the same run beside the one that is measured, or puts it away. */
export function BesideSwitch({ m }: { m: Pick<Measuring, "ui" | "whole" | "trial"> }) {
  const beside = useStore(m.ui, (s) => s.beside);
  const clips = besideClips(m.whole, m.trial.id);
  if (clips.length === 0) return null;
  return (
    <fieldset className="view-switch">
      <legend className="visually-hidden">Shown beside this view</legend>
      {clips.map(({ clip, name }) => (
        <Tooltip key={clip} label="Shows it beside this picture, at the same moment as far as that is known.">
          <button
            type="button"
            className="chip"
            aria-pressed={beside === clip}
            onClick={() => m.ui.setState({ beside: beside === clip ? null : clip })}
          >
            {name} beside
          </button>
        </Tooltip>
      ))}
    </fieldset>
  );
}
