import { Button, Popover } from "@mantine/core";
import { useState } from "react";
import { useStore } from "zustand";
import type { PlacedPoint, TrialReadings } from "../../../../src/kinematics/types.ts";
import { lengthText } from "../../../../src/study/length.ts";
import { trialPairing } from "../../../../src/trials/clipGateTime.ts";
import { gateDoubt } from "../../../../src/trials/gateDoubt.ts";
import { endGates } from "../../../../src/trials/gateTime.ts";
import { setGatePassing } from "../../../commands/marks/setGatePassing.ts";
import { attempt } from "../../../store/attempt.ts";
import type { Derived } from "../../../store/readings.ts";
import { pickGate } from "../core/actions.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { goToFrame } from "../guide/steps.ts";

const VERDICTS: Readonly<Record<string, { readonly words: string; readonly tone?: string }>> = {
  pairing: { words: "Clip time: consistent" },
  "pairing-speed": { words: "Clip time: check the speed factor", tone: "bad" },
  "pairing-refuted": { words: "Clip time disagrees", tone: "bad" },
  "pairing-not-checked": { words: "Clip time: pick the gates" },
};

/** Over the ice map, not over the gates one has to see. */
const BESIDE_THE_PICTURE = { position: "fixed", left: "auto", right: 16, top: 84 } as const;

/** Does the clip's own gate-to-gate time agree with the photocells'? The frames at both gates can be picked here. */
export function GateFrames({ m, reading }: { m: Measuring; reading: Derived<TrialReadings> }) {
  const [open, setOpen] = useState(false);
  const gates = endGates(m.whole.study.lane);
  const verdict = trialPairing(m.whole, m.trial.id, reading.ok ? reading.value.strides : []);
  const shown = verdict && VERDICTS[verdict.code];
  if (!gates || !shown || !m.trial.clip) return null;
  return (
    <Popover
      opened={open}
      onChange={setOpen}
      width={380}
      // It stays open, and the keys stay the window's, while one steps to the frame.
      closeOnClickOutside={false}
      withRoles={false}
      // Beside its button also in the order of Tab.
      withinPortal={false}
    >
      <Popover.Target>
        <button
          type="button"
          className="chip"
          data-tone={shown.tone}
          aria-expanded={open}
          onClick={() => setOpen(!open)}
        >
          {shown.words}
        </button>
      </Popover.Target>
      <Popover.Dropdown className="gate-frames" style={BESIDE_THE_PICTURE}>
        <p>{verdict.text}</p>
        {!m.readOnly && (
          <p className="quiet">
            At each gate step to the first frame in which the front of the skater is at or past the line
            between the posts: the same part of the body at both.
          </p>
        )}
        {gates.map((gate) => (
          <Gate key={gate} m={m} gate={gate} places={reading.ok ? reading.value.places : NOWHERE} />
        ))}
        <button type="button" className="plain-button gate-row" onClick={() => setOpen(false)}>
          Close
        </button>
      </Popover.Dropdown>
    </Popover>
  );
}

const NOWHERE: readonly PlacedPoint[] = [];

function Gate({ m, gate, places }: { m: Measuring; gate: number; places: readonly PlacedPoint[] }) {
  const frame = useStore(m.session, (s) => s.frame);
  const passing = m.marks.gatePassings?.find((p) => p.gate === gate);
  const at = lengthText(gate, m.whole.study.lane.unit);
  const { picture } = m;
  const doubt = passing && gateDoubt(passing, m.marks, places, m.trial.speedFactor, m.whole.study.lane.unit);
  return (
    <div className="row gate-row">
      <strong>Gate at {at}</strong>
      {passing ? (
        <button
          type="button"
          className="plain-button"
          onClick={() => goToFrame(m.session, m.index, passing.frame)}
        >
          frame {passing.frame}, {passing.time.toFixed(3)} s
        </button>
      ) : (
        <span className="quiet">no frame yet</span>
      )}
      {!m.readOnly && picture && passing?.frame !== frame && (
        <Button size="compact-sm" variant="light" onClick={() => pickGate(m, gate)}>
          It is frame {frame}
        </Button>
      )}
      {!m.readOnly && picture && passing && (
        <button
          type="button"
          className="plain-button"
          aria-label={`Take back the frame of the gate at ${at}`}
          onClick={() => attempt(m.session, setGatePassing, { trial: m.trial.id, gate, at: null, picture })}
        >
          Take back
        </button>
      )}
      {doubt && (
        <p className="care" role="status">
          {doubt}
        </p>
      )}
    </div>
  );
}
