import { Button, Popover, TextInput } from "@mantine/core";
import { type FormEvent, memo, useState } from "react";
import { setSpeedFactor } from "../../../commands/clips/setSpeedFactor.ts";
import { attempt } from "../../../store/attempt.ts";
import { speedText } from "../../../store/time.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { TurnButtons } from "./TurnButtons.tsx";

/** The clip's frame rate, what is odd about it, and how much slower than life it plays. */
export const ClipSpeed = memo(({ m }: { m: Measuring }) => {
  const [open, setOpen] = useState(false);
  const [typed, setTyped] = useState("");
  const { index, trial } = m;
  if (!index) return null;
  const rate = index.rateMedianHz;
  const slower = speedText(trial.speedFactor);
  const set = (e: FormEvent) => {
    e.preventDefault();
    const factor = typed.trim() === "" ? Number.NaN : Number(typed.replace(",", "."));
    if (attempt(m.session, setSpeedFactor, { trial: trial.id, factor })) setOpen(false);
  };
  return (
    <Popover opened={open} onChange={setOpen} position="top-start" width={330} trapFocus>
      <Popover.Target>
        <button
          type="button"
          className="clip-speed number"
          data-odd={slower || index.warnings.length > 0 ? "" : undefined}
          aria-expanded={open}
          onClick={() => {
            setTyped(String(trial.speedFactor));
            setOpen(!open);
          }}
        >
          {rate === null ? "frame rate not known" : `${rate.toFixed(rate >= 100 ? 0 : 1)} frames/s`}
          {index.variableRate ? ", uneven" : ""}
          {slower ? `, ${slower}` : ""}
          {index.warnings.length > 0 ? ", see remarks" : ""}
        </button>
      </Popover.Target>
      <Popover.Dropdown>
        <p className="quiet">
          {index.width} x {index.height} px{index.codec ? `, ${index.codec}` : ""}
          {index.rotation ? `, turned ${index.rotation}°` : ""}. The rate is the middle of the clip's own
          frame gaps; times are read from the clip, never worked out from it.
        </p>
        {index.warnings.map((w) => (
          <p key={w.code + w.text} className="care">
            {w.text}
          </p>
        ))}
        <TurnButtons m={m} index={index} onTurned={() => setOpen(false)} />
        <form onSubmit={set} className="speed-form">
          <TextInput
            size="xs"
            label="Plays how many times slower than life? (speed factor)"
            description="1 at life speed, 8 for 240 frames a second shown at 30"
            value={typed}
            disabled={m.readOnly}
            onChange={(e) => setTyped(e.currentTarget.value)}
          />
          <Button type="submit" size="compact-sm" disabled={m.readOnly}>
            Set
          </Button>
        </form>
      </Popover.Dropdown>
    </Popover>
  );
});
