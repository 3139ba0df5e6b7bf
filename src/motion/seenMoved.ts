import type { FittedScale } from "../ice/camera/ground.ts";
import type { Scale, SteadyPicture } from "../ice/types.ts";

/** A scale for drawing on a clip whose picture moves: each frame as it is seen. Frames that it does not hold for show nothing. */
export function seenMoved<S extends Scale | FittedScale>(scale: S, steady: SteadyPicture | undefined): S {
  if (!steady) return scale;
  const known = moved.get(steady);
  if (known?.of === scale) return known.made as S;
  const summary = { ...scale.summary, motion: steady.summary };
  const made: S = steady.isStill
    ? { ...scale, summary }
    : {
        ...scale,
        summary,
        toIce: (p, frame) => {
          if (frame === undefined) return scale.toIce(p);
          return steady.whyNot(frame) === null ? scale.toIce(steady.still(p, frame), frame) : null;
        },
        toPicture: (x, y, z, frame) => {
          if (frame === undefined) return scale.toPicture(x, y, z);
          const p = steady.whyNot(frame) === null ? scale.toPicture(x, y, z, frame) : null;
          return p && steady.moved(p, frame);
        },
      };
  moved.set(steady, { of: scale, made });
  return made;
}

/** By a clip's motion: the scale it was put around last. */
const moved = new WeakMap<SteadyPicture, { readonly of: Scale; readonly made: Scale }>();
