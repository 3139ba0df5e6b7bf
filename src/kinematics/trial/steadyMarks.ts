import type { FittedScale, Ground, Rolled, UncertainMark } from "../../ice/camera/ground.ts";
import type { FrameDoubt, SteadyPicture } from "../../ice/types.ts";
import type { Mark, Picture } from "../../study/types.ts";
import { type Sources, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";

/** Marks where they would lie if the picture stood still. */
export function steadyMarks(marks: readonly Mark[], steady: SteadyPicture | undefined): readonly Mark[] {
  if (!steady || steady.isStill) return marks;
  return marks.map((m) => ({ ...m, ...steady.still(m, m.frame) }));
}

/** Marks where they would lie if all rows of a frame were read at once. */
export function uprightMarks(marks: readonly Mark[], scale: FittedScale | string): readonly Mark[] {
  if (typeof scale === "string" || !scale.upright) return marks;
  return marks.map((m) => ({ ...m, ...scale.upright!(m, m.frame) }));
}

/** A mark with what is open of how far its row's time moved it. */
export function rolled(mark: UncertainMark, { by, share }: Rolled): UncertainMark {
  return {
    u: weightedSum([
      [1, mark.u],
      [-by[0], share],
    ]),
    v: weightedSum([
      [1, mark.v],
      [-by[1], share],
    ]),
  };
}

/** Nothing is placed in frames that the scale does not hold for. */
export function groundOfSteady(ground: Ground, { whyNot }: SteadyPicture): Ground {
  return {
    ...ground,
    place: (mark, frame) => (whyNot(frame) === null ? ground.place(mark, frame) : null),
    cameraIn: (frame) => (whyNot(frame) === null ? ground.cameraIn(frame) : null),
    eyeIn: (frame) => (whyNot(frame) === null ? ground.eyeIn(frame) : null),
    unplacedWhy: (frame) => whyNot(frame) ?? ground.unplacedWhy(frame),
  };
}

/** How a frame may lie otherwise than it is taken to, each from a cause of its own: aside (px), turned and grown (px a px from the middle). */
export interface FrameErrors {
  readonly u: Uncertain;
  readonly v: Uncertain;
  readonly turn: Uncertain;
  readonly growth: Uncertain;
}

/** @param reachPx at which a turn is worth `turnPx`, px */
export function frameErrors(sources: Sources, { shiftPx, turnPx }: FrameDoubt, reachPx: number): FrameErrors {
  const perPx = turnPx / reachPx;
  return {
    u: sources.add(0, shiftPx),
    v: sources.add(0, shiftPx),
    turn: sources.add(0, perPx),
    growth: sources.add(0, perPx),
  };
}

/** A mark with what its frame, and the clip's ice points, may lie aside. */
export function shaken(mark: UncertainMark, errors: readonly FrameErrors[], picture: Picture): UncertainMark {
  const [x, y] = [mark.u.value - (picture.width - 1) / 2, mark.v.value - (picture.height - 1) / 2];
  const sum = (own: Uncertain, pick: "u" | "v", [byTurn, byGrowth]: readonly [number, number]) =>
    weightedSum([
      [1, own],
      ...errors.flatMap(
        (e) =>
          [
            [1, e[pick]],
            [byTurn, e.turn],
            [byGrowth, e.growth],
          ] as const,
      ),
    ]);
  return { u: sum(mark.u, "u", [-y, x]), v: sum(mark.v, "v", [x, y]) };
}
