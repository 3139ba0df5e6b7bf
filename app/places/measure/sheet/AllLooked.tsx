import { useMemo } from "react";
import { anchoringWords } from "../../../../src/marks/anchoring.ts";
import type { Measuring } from "../core/useMeasure.ts";
import type { Found } from "./found.ts";

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
  return (
    <section className="card sheet-empty" aria-label="Stride sheet">
      <h2>{isLooking ? "Looking for the next stride …" : "Nothing is left to confirm."}</h2>
      {!isLooking && why.map((text) => <p key={text}>{text}</p>)}
      {!isLooking && left > 0 && (
        <p>
          {left} {left === 1 ? "stride was" : "strides were"} left out, so nothing is measured of them.
        </p>
      )}
      {drawn && <p className="quiet">{drawn}</p>}
      <button type="button" className="plain-button" onClick={onClose}>
        Back to the picture (U)
      </button>
    </section>
  );
}
