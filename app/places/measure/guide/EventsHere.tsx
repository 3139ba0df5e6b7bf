import { Button } from "@mantine/core";
import { type ReactNode, useState } from "react";
import { useStore } from "zustand";
import type { EventFrame } from "../../../../src/study/types.ts";
import { capital } from "../../../../src/words.ts";
import { removeEvent } from "../../../commands/marks/removeEvent.ts";
import { eventWords } from "../../../commands/words.ts";
import { attempt } from "../../../store/attempt.ts";
import { isDoubtful, timeOf } from "../../../store/clipFrames.ts";
import { moveEventHere } from "../core/actions.ts";
import { NO_TOOL } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { AskStrip, Key } from "./AskStrip.tsx";

/** What this frame was picked for, and the ways to correct it. */
export function EventsHere({ m }: { m: Pick<Measuring, "session" | "ui" | "trial" | "marks"> }) {
  const frame = useStore(m.session, (s) => s.frame);
  const [openAt, setOpenAt] = useState<number | null>(null);
  const here = m.marks.events.filter((e) => e.frame === frame);
  if (here.length === 0) return null;
  if (openAt !== frame) {
    return (
      <button type="button" className="plain-button ask-open" onClick={() => setOpenAt(frame)}>
        Wrong frame?
      </button>
    );
  }
  return here.map((e) => (
    <div key={`${e.event} ${e.side}`} className="row events-here">
      <span className="quiet">{capital(eventWords(e.event, e.side))}:</span>
      <button
        type="button"
        className="plain-button"
        onClick={() => m.ui.setState({ tool: { kind: "move-event", event: e } })}
      >
        move it
      </button>
      <button
        type="button"
        className="plain-button"
        onClick={() =>
          attempt(m.session, removeEvent, { trial: m.trial.id, event: e.event, side: e.side, frame })
        }
      >
        remove it
      </button>
    </div>
  ));
}

interface MovingProps {
  readonly m: Measuring;
  readonly moving: EventFrame;
  readonly exact: boolean;
  readonly notice: ReactNode;
}

/** While an event is being moved: step to the right frame, then say so. */
export function MovingEvent({ m, moving, exact, notice }: MovingProps) {
  const frame = useStore(m.session, (s) => s.frame);
  const { event, side, frame: from } = moving;
  const time = isDoubtful(m.index, frame) ? undefined : timeOf(m.index, frame);
  const marked = m.marks.marks.some((k) => k.frame === from);
  return (
    <AskStrip
      title={`Move ${eventWords(event, side)}`}
      hint={`It is at frame ${from}. Step to the right frame.${
        marked ? " Marks stay on the frame they were put on; the new frame is marked anew." : ""
      }`}
      notice={notice}
      answers={
        <>
          <Button
            size="compact-md"
            disabled={!exact || time === undefined || frame === from}
            onClick={() => moveEventHere(m)}
          >
            Move it to frame {frame} <Key>Enter</Key>
          </Button>
          <Button size="compact-md" variant="default" onClick={() => m.ui.setState({ tool: NO_TOOL })}>
            Leave it <Key>Esc</Key>
          </Button>
        </>
      }
    />
  );
}
