import { useMemo } from "react";
import { anchoringWords } from "../../../../src/marks/anchoring.ts";
import { capital } from "../../../../src/words.ts";
import { eventWords } from "../../../commands/words.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { goToFrame } from "../guide/steps.ts";
import { type Found, type UntoldEvent, untoldEvents } from "./found.ts";

/** No stride is left to confirm, or none yet. */
export function AllLooked(props: {
  m: Measuring;
  isLooking: boolean;
  found: Found;
  left: number;
  onClose(): void;
}) {
  const { m, isLooking, found, left, onClose } = props;
  const drawn = useMemo(
    () => (isLooking ? null : anchoringWords(Object.values(m.whole.marks).map((t) => t.marks))),
    [isLooking, m.whole.marks],
  );
  const why = found.withheld.filter((w) => w.what === "everything").map((w) => w.why);
  const untold = isLooking ? [] : untoldEvents(found);
  /** From the first nothing was suggested: nobody has confirmed anything. */
  const none = why.length > 0 && left === 0 && !m.marks.events.some((e) => e.suggested);
  const title = none ? "Nothing can be suggested here." : "Nothing is left to confirm.";
  return (
    <section className="card sheet-empty" aria-label="Stride sheet">
      <h2>{isLooking ? "Looking for the next stride …" : title}</h2>
      {!isLooking && why.map((text) => <p key={text}>{text}</p>)}
      {!isLooking && left > 0 && (
        <p>
          {left} {left === 1 ? "stride was" : "strides were"} left out, so nothing is measured of them.
        </p>
      )}
      {untold.length > 0 && (
        <Untold
          events={untold}
          onGo={(frame) => {
            onClose();
            goToFrame(m.session, m.index, frame);
          }}
        />
      )}
      {drawn && <p className="quiet">{drawn}</p>}
      <button type="button" className="plain-button" onClick={onClose}>
        Back to the picture (U)
      </button>
    </section>
  );
}

/** Events left to a person, by the reason, each one press from its frame. */
function Untold({ events, onGo }: { events: readonly UntoldEvent[]; onGo(frame: number): void }) {
  return (
    <div className="sheet-untold">
      <h3>Not told: pick {events.length === 1 ? "this frame" : "these frames"} by hand</h3>
      {[...new Set(events.map((e) => e.why))].map((why) => (
        <div key={why}>
          <p>{why}</p>
          <ul>
            {events
              .filter((e) => e.why === why)
              .map(({ event, side, frame }) => (
                <li key={`${event} ${side} ${frame}`}>
                  <button type="button" className="plain-button" onClick={() => onGo(frame)}>
                    {capital(eventWords(event, side))}, about frame {frame}
                  </button>
                </li>
              ))}
          </ul>
        </div>
      ))}
    </div>
  );
}
