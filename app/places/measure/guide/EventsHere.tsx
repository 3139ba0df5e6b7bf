import { Button } from "@mantine/core";
import { useState } from "react";
import { useStore } from "zustand";
import type { EventFrame } from "../../../../src/study/types.ts";
import { capital } from "../../../../src/words.ts";
import { moveEvent } from "../../../commands/marks/moveEvent.ts";
import { removeEvent } from "../../../commands/marks/removeEvent.ts";
import { eventWords } from "../../../commands/words.ts";
import { attempt } from "../../../store/attempt.ts";
import { isDoubtful, timeOf } from "../../../store/clipFrames.ts";
import { NO_TOOL } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";

/** What this frame was picked for, and the ways to correct it. */
export function EventsHere({ m }: { m: Measuring }) {
  const frame = useStore(m.session, (s) => s.frame);
  const [openAt, setOpenAt] = useState<number | null>(null);
  const here = m.marks.events.filter((e) => e.frame === frame);
  if (here.length === 0) return null;
  if (openAt !== frame) {
    return (
      <button type="button" className="plain-button guide-open" onClick={() => setOpenAt(frame)}>
        Not the right frame?
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

/** While an event is being moved: step to the right frame, then say so. */
export function MovingEvent({ m, moving, exact }: { m: Measuring; moving: EventFrame; exact: boolean }) {
  const frame = useStore(m.session, (s) => s.frame);
  const { event, side, frame: from } = moving;
  const time = isDoubtful(m.index, frame) ? undefined : timeOf(m.index, frame);
  const stop = () => m.ui.setState({ tool: NO_TOOL });
  const marked = m.marks.marks.some((k) => k.frame === from);
  return (
    <>
      <div className="guide-question" aria-live="polite">
        <h2>Move {eventWords(event, side)}</h2>
        <p>
          It is at frame {from}. Step to the right frame.
          {marked ? " Marks stay on the frame they were put on; the new frame is marked anew." : ""}
        </p>
      </div>
      <div className="row">
        <Button
          disabled={!exact || time === undefined || frame === from}
          onClick={() => {
            if (time === undefined) return;
            if (attempt(m.session, moveEvent, { trial: m.trial.id, event, side, from, to: frame, time }))
              stop();
          }}
        >
          Move it to frame {frame}
        </Button>
        <Button variant="default" onClick={stop}>
          Leave it
        </Button>
      </div>
    </>
  );
}
