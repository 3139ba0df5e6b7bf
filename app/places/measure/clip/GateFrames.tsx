import { Button, NativeSelect, Popover } from "@mantine/core";
import { useStore } from "zustand";
import type { PlacedPoint, TrialReadings } from "../../../../src/kinematics/types.ts";
import { lengthText } from "../../../../src/study/length.ts";
import { trialOfView } from "../../../../src/study/trialViews.ts";
import type { Trial } from "../../../../src/study/types.ts";
import { trialPairing } from "../../../../src/trials/clipGateTime.ts";
import { clipTime } from "../../../../src/trials/clipTime.ts";
import { gateDoubt } from "../../../../src/trials/gateDoubt.ts";
import { endGates } from "../../../../src/trials/gateTime.ts";
import { likelyGate } from "../../../../src/trials/likelyGate.ts";
import { clipTimeText, spokenTime } from "../../../../src/trials/shownTime.ts";
import { setGatePassing } from "../../../commands/marks/setGatePassing.ts";
import { setTimedBy } from "../../../commands/trials/setTimedBy.ts";
import { attempt } from "../../../store/attempt.ts";
import type { Derived } from "../../../store/readings.ts";
import { pickGate } from "../core/actions.ts";
import { trialMarks } from "../core/trialView.ts";
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
  const open = useStore(m.ui, (s) => s.gates);
  const setOpen = (gates: boolean) => m.ui.setState({ gates });
  const gates = endGates(m.whole.study.lane);
  const places = reading.ok ? reading.value.places : NOWHERE;
  const times = m.index?.times ?? NO_TIMES;
  const { speedFactor } = m.trial;
  const { start } = m.whole.study.lane;
  const likely = (gate: number) => likelyGate(gate, places, { times, speedFactor, start });
  const run = trialOfView(m.whole.study, m.trial.id) ?? m.trial;
  const shown = said(m, run, reading);
  if (!gates || !shown || !m.trial.clip) return null;
  /** To where the first gate without a frame is likely passed. */
  const look = () => {
    const picked = trialMarks(m.session.getState().whole, m.trial.id).gatePassings ?? [];
    const next = gates.find((gate) => picked.every((p) => p.gate !== gate));
    const frame = next === undefined ? null : likely(next);
    // Who stands there already stays.
    if (frame !== null && Math.abs(frame - m.session.getState().frame) > NEAR)
      goToFrame(m.session, m.index, frame);
  };
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
          onClick={() => {
            setOpen(!open);
            if (!open) look();
          }}
        >
          {shown.words}
        </button>
      </Popover.Target>
      <Popover.Dropdown className="gate-frames" style={BESIDE_THE_PICTURE}>
        <p>{shown.text}</p>
        <AsTrialTime m={m} run={run} />
        {!m.readOnly && (
          <p className="quiet">
            At each gate step to the first frame in which the front of the skater is at or past the line
            between the posts: the same part of the body at both.
          </p>
        )}
        {open &&
          gates.map((gate) => (
            <Gate key={gate} m={m} gate={gate} places={places} likely={likely(gate)} onPicked={look} />
          ))}
        <button type="button" className="plain-button gate-row" onClick={() => setOpen(false)}>
          Close
        </button>
      </Popover.Dropdown>
    </Popover>
  );
}

/** Frames from the likely one within which the skater is still at the gate: the marks tell it by about as many. */
const NEAR = 5;

interface Said {
  /** On the button, and in a sentence. */
  readonly words: string;
  readonly text: string;
  readonly tone?: string;
}

/** The clip's time against the photocells'; without them, or of a further view, by itself. */
function said(
  m: Pick<Measuring, "whole" | "trial">,
  run: Trial,
  reading: Derived<TrialReadings>,
): Said | null {
  const verdict = trialPairing(m.whole, m.trial.id, reading.ok ? reading.value.strides : []);
  const held = verdict && VERDICTS[verdict.code];
  if (held) return { ...held, text: verdict.text };
  const found = clipTime(m.whole, run);
  if (found.value === null)
    return { words: "Clip time: pick the gates", text: `The clip gives no time yet: ${found.why}` };
  const size = spokenTime({ time: found.value, clipSd: found.sd }, 2);
  const by = found.views.length < 2 ? "" : `, views ${found.views.join(" and ")} together`;
  return {
    words: `Clip time ${clipTimeText(found.value, found.sd)} s`,
    text: `From gate to gate: ${size}${by}.`,
  };
}

/** Whether the clip's time is to count as the trial's; only where no photocell time is typed. */
function AsTrialTime({ m, run }: { m: Pick<Measuring, "session" | "whole" | "readOnly">; run: Trial }) {
  const found = clipTime(m.whole, run);
  if (m.readOnly || run.time !== null || (found.value === null && run.timedBy === undefined)) return null;
  const used = run.timedBy === "clip";
  return (
    <p>
      <Button
        size="compact-sm"
        variant={used ? "default" : "light"}
        onClick={() => attempt(m.session, setTimedBy, { trial: run.id, clip: !used })}
      >
        {used ? "Don’t use it as this trial’s time" : "Use it as this trial’s time"}
      </Button>
    </p>
  );
}

const NOWHERE: readonly PlacedPoint[] = [];
const NO_TIMES: readonly number[] = [];

/** Between the frame before, in which the front is not there yet, and the frame picked. */
const SHARES = [
  { value: "", label: "since the frame before" },
  { value: "0.25", label: "a quarter on from the frame before" },
  { value: "0.5", label: "half way between them" },
  { value: "0.75", label: "three quarters on" },
  { value: "1", label: "just in this frame" },
];

interface GateProps {
  readonly m: Measuring;
  readonly gate: number;
  readonly places: readonly PlacedPoint[];
  /** By the marks; null = they do not tell. */
  readonly likely: number | null;
  onPicked(): void;
}

function Gate({ m, gate, places, likely, onPicked }: GateProps) {
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
      ) : likely !== null && likely !== frame ? (
        <button type="button" className="plain-button" onClick={() => goToFrame(m.session, m.index, likely)}>
          look near frame {likely}
        </button>
      ) : (
        <span className="quiet">no frame yet</span>
      )}
      {!m.readOnly && picture && passing?.frame !== frame && (
        <Button
          size="compact-sm"
          variant="light"
          onClick={() => {
            pickGate(m, gate);
            onPicked();
          }}
        >
          It is frame {frame}
        </Button>
      )}
      {!m.readOnly && picture && passing && (
        <NativeSelect
          size="xs"
          aria-label={`Where between frames ${passing.frame - 1} and ${passing.frame} the gate at ${at} is passed`}
          value={passing.share ?? ""}
          data={SHARES}
          onChange={({ currentTarget: { value } }) => {
            const { frame: there, time } = passing;
            const share = value === "" ? {} : { share: Number(value) };
            attempt(m.session, setGatePassing, {
              trial: m.trial.id,
              gate,
              at: { frame: there, time, ...share },
              picture,
            });
          }}
        />
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
