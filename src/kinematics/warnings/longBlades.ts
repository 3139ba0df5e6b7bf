import { bladeNumber } from "../../marks/markTable.ts";
import type { Warning } from "../../reading.ts";
import type { Side } from "../../study/types.ts";
import { deriveOne } from "../../uncertainty/uncertain.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { distance } from "../trial/across.ts";
import { pointOnIce } from "../trial/bladePlaces.ts";
import { slot } from "../trial/notebook.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";

const LONG = slot<number, number | null>();

/** Longer than any runner, metres. [common practice, no source: about 0.3 m, speed skates to 0.45 m] */
const LONGEST = 0.5;
/** A heel that is already leaving the ice is this high, metres, and a low camera lays that out along the view. */
const LIFTED_HEEL = 0.04;

/** Blades that would be much longer on the ice than blades are: one of their two ends is not where it was marked. */
export function longBlades(trial: TrialGeometry): Warning[] {
  const contacts = trial.strides.flatMap(({ side, off, on }) => [
    { side, frame: off.frame },
    ...(on ? [{ side, frame: on.frame }] : []),
  ]);
  return contacts.flatMap(({ side, frame }) => {
    const length = trial.remember(LONG, bladeNumber(frame, side), () => lengthOnIce(trial, side, frame));
    if (length === null) return [];
    return [
      {
        code: "long-blade",
        text: `The ${side} blade would be ${length.toFixed(1)} m long on the ice in frame ${frame}. Check its heel and toe marks there.`,
        about: { blades: [{ frame, side }] },
      },
    ];
  });
}

/** Metres, where it is longer than a blade can be by more than its marks leave open; else null. */
function lengthOnIce(trial: TrialGeometry, side: Side, frame: number): number | null {
  try {
    const heel = pointOnIce(trial, frame, side, "blade_heel");
    const toe = pointOnIce(trial, frame, side, "blade_toe");
    const camera = trial.ground.cameraIn(frame)?.camera;
    if (!camera) return null;
    const away = distance(heel.x.value - camera.x, heel.y.value - camera.y) / camera.z;
    const longest = LONGEST + LIFTED_HEEL * away;
    if (distance(toe.x.value - heel.x.value, toe.y.value - heel.y.value) <= longest) return null;
    const length = deriveOne((ax, ay, bx, by) => distance(bx - ax, by - ay), [heel.x, heel.y, toe.x, toe.y]);
    return length.value - 2 * length.u > longest ? length.value : null;
  } catch (error) {
    if (error instanceof Unmeasurable) return null;
    throw error;
  }
}
