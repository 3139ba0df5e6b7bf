import type { EventName, Mark, PointName, Side } from "../../../../src/study/types.ts";

export interface FoundEvent {
  readonly event: EventName;
  readonly side: Side;
  readonly frame: number;
  readonly sdFrames: number;
}

export interface FoundPoint {
  readonly frame: number;
  readonly point: PointName;
  readonly side: Side;
  readonly xPx: number;
  readonly yPx: number;
  readonly uPx: number;
  readonly by: "pose" | "template";
  readonly templates: readonly number[];
}

export interface Withheld {
  readonly what: string;
  readonly event?: EventName;
  readonly side?: Side;
  readonly frame?: number;
  readonly why: string;
}

/** What the host suggests for a trial. */
export interface Found {
  readonly model: string;
  readonly events: readonly FoundEvent[];
  readonly points: readonly FoundPoint[];
  readonly withheld: readonly Withheld[];
}

interface Row {
  readonly [name: string]: unknown;
}

/** From what `suggest --json` prints; the host's own, so it is not checked again. */
export function readFound(text: string): Found {
  const json = JSON.parse(text);
  return {
    model: json.model,
    events: json.events.map(({ sd_frames, ...e }: Row) => ({ ...e, sdFrames: sd_frames })),
    points: json.points.map(({ x_px, y_px, u_px, from, ...p }: Row) => ({
      ...p,
      xPx: x_px,
      yPx: y_px,
      uPx: u_px,
      by: from,
    })),
    withheld: json.refused,
  };
}

export function foundPoint(
  found: Found,
  at: { readonly frame: number; readonly point: PointName; readonly side: Side },
): FoundPoint | undefined {
  return found.points.find((p) => p.frame === at.frame && p.point === at.point && p.side === at.side);
}

/**
 * What is found without the points that rest on marks which are no longer as they were when they were looked for: taken back,
 * moved or deleted since. What was confirmed since takes nothing away.
 */
export function stillStanding(found: Found, asked: readonly Mark[], now: readonly Mark[]): Found {
  if (asked === now) return found;
  const keyOf = ({ frame, point, side }: Pick<Mark, "frame" | "point" | "side">) =>
    `${frame} ${point} ${side}`;
  const before = new Map(asked.map((m) => [keyOf(m), m]));
  const after = new Map(now.map((m) => [keyOf(m), m]));
  const stands = (frame: number, point: PointName, side: Side) => {
    const [was, is] = [before.get(keyOf({ frame, point, side })), after.get(keyOf({ frame, point, side }))];
    return was === is || (was !== undefined && is !== undefined && was.xPx === is.xPx && was.yPx === is.yPx);
  };
  const points = found.points.filter(({ templates, point, side, by }) =>
    templates.every((frame) =>
      // A blade is found by its whole picture, both ends.
      by === "template"
        ? stands(frame, "blade_heel", side) && stands(frame, "blade_toe", side)
        : stands(frame, point, side),
    ),
  );
  return points.length === found.points.length ? found : { ...found, points };
}

/** An event that is left to a person: about which frame, and why. */
export interface UntoldEvent extends Omit<FoundEvent, "sdFrames"> {
  readonly why: string;
}

export function untoldEvents({ withheld }: Found): UntoldEvent[] {
  return withheld.flatMap(({ what, event, side, frame, why }) =>
    what === "events" && event && side && frame !== undefined ? [{ event, side, frame, why }] : [],
  );
}
