import type { EventName } from "../../src/study/types.ts";
import { EventTick } from "./EventTick.tsx";

/** What the ribbon's shapes mean. */
export function RibbonKey() {
  return (
    <span className="quiet ribbon-key">
      bars: on the ice; arcs: recovery;
      <Sample event="blade_off" /> off
      <Sample event="blade_on" /> on
      <Sample event="recovery_min" /> nearest
      <Sample event="blade_off" open /> suggested
    </span>
  );
}

function Sample({ event, open = false }: { event: EventName; open?: boolean }) {
  return (
    <svg width="16" height="16" viewBox="-8 -8 16 16" aria-hidden="true">
      <EventTick event={event} side="left" x={0} lane={-16} open={open} />
    </svg>
  );
}
