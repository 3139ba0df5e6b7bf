import { Select } from "@mantine/core";
import { memo, useState } from "react";
import { useStore } from "zustand";
import { setMarkingDepth } from "../../../commands/plan/setMarkingDepth.ts";
import { attempt } from "../../../store/attempt.ts";
import { iceScale } from "../core/iceScale.ts";
import { NO_TOOL, toTask } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { framesWithoutIce } from "../scale/movingAdvice.ts";
import { SheetOffer } from "../sheet/StrideSheet.tsx";
import { ArmAnswers, ArmSummary } from "./ArmAnswers.tsx";
import { EventsHere } from "./EventsHere.tsx";
import { pointState, pointsOnFrame } from "./framePoints.ts";
import { openFrames } from "./guide.ts";
import { type Depth, depthOf } from "./sequence.ts";
import { goToFrame } from "./steps.ts";

const DEPTHS: readonly { readonly value: Depth; readonly label: string }[] = [
  { value: "width", label: "Width and touchdown" },
  { value: "recovery", label: "Recovery and hips" },
  { value: "arms", label: "Arm swings" },
  { value: "everything", label: "Everything" },
];

interface HereProps {
  readonly depth: Depth;
  readonly frame: number;
}

/** Under the question: what is marked of a stride, and what there is on this frame to look at again. */
export function StripFoot({ m }: { m: Measuring }) {
  const frame = useStore(m.session, (s) => s.frame);
  const [armsOn, setArmsOn] = useState<number | null>(null);
  const { session, ui, marks, index, whole } = m;
  const here = { depth: depthOf(whole.study), frame };
  if (armsOn === frame) return <ArmAnswers m={m} onDone={() => setArmsOn(null)} />;
  return (
    <>
      <DepthChoice session={session} ui={ui} />
      <SheetOffer m={m} />
      <EventsHere m={m} />
      <Points ui={ui} marks={marks} {...here} />
      <ArmSummary m={m} onOpen={() => setArmsOn(frame)} />
      <OpenFrames session={session} index={index} marks={marks} {...here} />
      <IceHere m={m} frame={frame} />
    </>
  );
}

/** Its own component, so that stepping through frames does not build the list anew each time. */
const DepthChoice = memo(({ session, ui }: Pick<Measuring, "session" | "ui">) => {
  const depth = useStore(session, (s) => depthOf(s.whole.study));
  const choose = (next: Depth) => {
    if (attempt(session, setMarkingDepth, { depth: next })) ui.setState({ tool: NO_TOOL });
  };
  return (
    <Select
      aria-label="What to mark"
      size="xs"
      w={196}
      data={[...DEPTHS]}
      value={depth}
      allowDeselect={false}
      onChange={(v) => v && choose(v as Depth)}
    />
  );
});

/** The points of this event frame: done, not seen or open; each can be asked for again. */
function Points({ ui, marks, depth, frame }: HereProps & Pick<Measuring, "ui" | "marks">) {
  const again = useStore(ui, ({ tool }) => (tool.kind === "ask-point" ? tool : null));
  const [open, setOpen] = useState(false);
  const wanted = pointsOnFrame(marks, frame, depth);
  if (wanted.length === 0) return null;
  const finished = wanted.every((p) => pointState(marks, frame, p) !== "open");
  if (finished && !open && !again) {
    return (
      <button type="button" className="plain-button ask-open" onClick={() => setOpen(true)}>
        All {wanted.length} done: again
      </button>
    );
  }
  return (
    <fieldset className="choices points" aria-label="Points on this frame">
      {wanted.map((p) => {
        const state = pointState(marks, frame, p);
        const words = `${p.side} ${p.point.replace("blade_", "")}`;
        return (
          <button
            key={words}
            type="button"
            data-state={state}
            aria-pressed={again?.point === p.point && again.side === p.side}
            aria-label={`${words}: ${STATE_WORDS[state]}. Mark it again`}
            onClick={() => ui.setState({ tool: { kind: "ask-point", ...p } })}
          >
            {state === "marked" ? "✓ " : state === "not-seen" ? "✕ " : ""}
            {words}
          </button>
        );
      })}
    </fieldset>
  );
}

const STATE_WORDS = { marked: "marked", "not-seen": "can't be seen", open: "to be marked" } as const;

/** Where the camera moves every event frame needs ice points of its own, unless the background carries those of others there. */
function IceHere({
  m,
  frame,
}: {
  readonly m: Pick<Measuring, "ui" | "whole" | "trial" | "marks" | "picture">;
  readonly frame: number;
}) {
  const { ui, marks, whole, trial, picture } = m;
  if (marks.iceReference?.kind !== "ice-points-by-frame") return null;
  const scale = iceScale(whole, trial.id, picture);
  if (!framesWithoutIce(marks.iceReference, marks.events, scale).includes(frame)) return null;
  return (
    <button type="button" className="plain-button" onClick={() => ui.setState(toTask("scale"))}>
      Two ice points needed here
    </button>
  );
}

function OpenFrames(props: HereProps & Pick<Measuring, "session" | "index" | "marks">) {
  const { session, index, marks, depth, frame } = props;
  const open = openFrames(marks, depth).filter((f) => f !== frame);
  const [first] = open;
  if (first === undefined) return null;
  return (
    <button type="button" className="plain-button" onClick={() => goToFrame(session, index, first)}>
      {open.length === 1 ? `Frame ${first} has` : `${open.length} other frames have`} open points
    </button>
  );
}
