import type { KeptRink } from "../../../src/study/library.ts";
import type { IcePlace, WholeStudy } from "../../../src/study/types.ts";
import { icePlaces } from "../../commands/ice/icePoints.ts";

/**
 * A rink as this study has it: its lane, where the camera is to stand, and every place on its ice that was measured or marked.
 * Places kept before stay where they were measured from the same lane.
 *
 * @param more places that are not on a picture yet
 */
export function rinkOf(
  name: string,
  { study: { lane, cameraPlan }, marks }: WholeStudy,
  before: KeptRink | undefined,
  more: readonly IcePlace[] = [],
): KeptRink {
  const kept = before && sameLane(before.lane, lane) ? (before.markings ?? []) : [];
  const here = Object.values(marks).flatMap((trial) => icePlaces(trial.iceReference));
  const markings = [...new Map([...kept, ...more, ...here].map((p) => [p.label, placeOf(p)])).values()];
  return {
    ...{ name: name.trim(), lane },
    ...(cameraPlan && { cameraPlan }),
    ...(markings.length > 0 && { markings }),
  };
}

/** Whether places measured from one lane's start line and middle are where they are said to be from the other's. */
export function sameLane(a: KeptRink["lane"], b: KeptRink["lane"]): boolean {
  return (
    Math.abs(a.distance - b.distance) < 1e-9 &&
    JSON.stringify(a.placement ?? null) === JSON.stringify(b.placement ?? null)
  );
}

const placeOf = ({ label, x, y, u }: IcePlace): IcePlace =>
  u === undefined ? { label, x, y } : { label, x, y, u };
