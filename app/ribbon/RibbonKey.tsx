import type { EventName } from "../../src/study/types.ts";
import { EventTick } from "./EventTick.tsx";

/** What the ribbon's shapes mean. */
export function RibbonKey() {
  return (
    <span className="quiet ribbon-key">
      <span>bars: on the ice; arcs: recovery;</span>
      <Sample event="blade_off" says="off" />
      <Sample event="blade_on" says="on" />
      <Sample event="recovery_min" says="nearest" />
      <Sample event="blade_off" open says="suggested" />
    </span>
  );
}

interface SampleProps {
  readonly event: EventName;
  readonly says: string;
  readonly open?: boolean;
}

/** Shown whole or not at all: the line is as wide as it is. */
function Sample({ event, says, open = false }: SampleProps) {
  return (
    <span className="ribbon-kind">
      <svg width="16" height="16" viewBox="-8 -8 16 16" aria-hidden="true">
        <EventTick event={event} side="left" x={0} lane={-16} open={open} />
      </svg>{" "}
      {says}
    </span>
  );
}
