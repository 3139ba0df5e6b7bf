import type { EventName, Side } from "../../src/study/types.ts";

/** Height of a band on the ribbon, px. */
export const BAND = 18;

interface Props {
  readonly event: EventName;
  readonly side: Side;
  readonly x: number;
  /** Middle of the side's band. */
  readonly lane: number;
  /** Suggested, not marked. */
  readonly open: boolean;
}

/** A blade from its side, toe to the right: the runner, and a stroke each for heel and toe. */
const BLADE = "M -6.5 3 H 6.5 M -3.5 3 V -2 M 3.5 3 V -2";
/** A hand at its turn. */
const HAND = "M -4 2 L 0 -3 L 4 2";

/** Degrees the blade is turned by: off the ice over its toe, onto it heel first; flat in the air where it is nearest the midline. */
const TURNED: Readonly<Record<EventName, number>> = {
  blade_off: 28,
  blade_on: -28,
  recovery_min: 0,
  arm_front: 90,
  arm_back: -90,
};

/** An event frame on the ribbon: blades under their band, hands over it. */
export function EventTick({ event, side, x, lane, open }: Props) {
  const arm = event === "arm_front" || event === "arm_back";
  const y = lane + (arm ? -1 : 1) * (BAND / 2 + (arm ? 5 : 7));
  return (
    <g transform={`translate(${x} ${y})`}>
      <rect className="ribbon-reach" x={-7} y={-7} width={14} height={14} />
      <path
        className={`ribbon-mark ${side}${open ? " open" : ""}`}
        transform={`rotate(${TURNED[event]})`}
        d={arm ? HAND : BLADE}
      />
    </g>
  );
}
