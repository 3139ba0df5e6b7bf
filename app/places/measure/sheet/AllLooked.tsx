import { useMemo } from "react";
import { anchoringWords } from "../../../../src/marks/anchoring.ts";
import { capital } from "../../../../src/words.ts";
import { eventWords } from "../../../commands/words.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { goToFrame } from "../guide/steps.ts";
import { type Found, untoldEvents } from "./found.ts";

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
  return (
    <section className="card sheet-empty" aria-label="Stride sheet">
      <h2>{isLooking ? "Looking for the next stride …" : "Nothing is left to confirm."}</h2>
      {!isLooking && why.map((text) => <p key={text}>{text}</p>)}
      {!isLooking && left > 0 && (
        <p>
          {left} {left === 1 ? "stride was" : "strides were"} left out, so nothing is measured of them.
        </p>
      )}
      {untold.length > 0 && (
        <>
          <h3>Not told: pick {untold.length === 1 ? "this frame" : "these frames"} by hand</h3>
          <ul>
            {untold.map(({ event, side, frame, why }) => (
              <li key={`${event} ${side} ${frame}`}>
                <button
                  type="button"
                  className="plain-button"
                  onClick={() => {
                    onClose();
                    goToFrame(m.session, m.index, frame);
                  }}
                >
                  {capital(eventWords(event, side))}, about frame {frame}
                </button>{" "}
                <span className="quiet">{why}</span>
              </li>
            ))}
          </ul>
        </>
      )}
      {drawn && <p className="quiet">{drawn}</p>}
      <button type="button" className="plain-button" onClick={onClose}>
        Back to the picture (U)
      </button>
    </section>
  );
}
