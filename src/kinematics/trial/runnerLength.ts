import { bladeNumber } from "../../marks/markTable.ts";
import type { Reading } from "../../reading.ts";
import type { Side } from "../../study/types.ts";
import { K95, weightedSum } from "../../uncertainty/uncertain.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { otherSide } from "./across.ts";
import { pointOnIce } from "./bladePlaces.ts";
import { slot } from "./notebook.ts";
import type { TrialGeometry } from "./trialGeometry.ts";

const LENGTH = slot<0, Reading>();
const RUNNER = slot<number, Square>();

/** About as long as a runner is, metres, to weigh blades by; not what comes out. [common practice, no source] */
const ABOUT = 0.28;
/** An edge that stands on its middle or is leant over touches the ice in less than the whole runner, metres. [judgement] */
const TOUCHES = 0.01;
/** Wider than this, a share of the runner, it tells nothing about the scale. */
const WIDEST = 0.15;

interface Square {
  /** Squared length without what the marks' noise adds to it on average. */
  readonly square: number;
  readonly u: number;
}

/**
 * How long the runner comes out on the ice, from the blades that stand flat: the other one's while a blade leaves or comes
 * down. Not a quantity of the skater but of the scale: it is the same in every trial, and can be measured with a ruler. The
 * ± is that of the marks; what the scale gets wrong is what it shows.
 */
export function runnerLength(trial: TrialGeometry): Reading {
  return trial.remember(LENGTH, 0, () => findLength(trial));
}

function findLength(trial: TrialGeometry): Reading {
  const squares = trial.strides.flatMap(({ side, off, on }) => {
    const standing = otherSide(side);
    return [off.frame, ...(on ? [on.frame] : [])].flatMap((frame) => squareOf(trial, standing, frame));
  });
  const n = squares.length;
  if (n < 3) {
    return {
      value: null,
      why: "The runner's length needs three frames in which a blade stands on the ice with both its ends marked, while the other one leaves or comes down.",
    };
  }
  const weight = squares.reduce((sum, s) => sum + 1 / s.u ** 2, 0);
  const mean = squares.reduce((sum, s) => sum + s.square / s.u ** 2, 0) / weight;
  const scatter = squares.reduce((sum, s) => sum + ((s.square - mean) / s.u) ** 2, 0) / (n - 1);
  const length = Math.sqrt(Math.max(mean, (ABOUT / 4) ** 2));
  const u95 = (K95 * Math.sqrt(Math.max(1, scatter) / weight)) / (2 * length);
  if (u95 > WIDEST * length) {
    return {
      value: null,
      why: `This view measures the runner's length only to ± ${(100 * u95).toFixed(0)} cm.`,
    };
  }
  return { value: length, u95 };
}

function squareOf(trial: TrialGeometry, side: Side, frame: number): Square[] {
  try {
    return [
      trial.remember(RUNNER, bladeNumber(frame, side), () => {
        const heel = pointOnIce(trial, frame, side, "blade_heel");
        const toe = pointOnIce(trial, frame, side, "blade_toe");
        const [x, y] = (["x", "y"] as const).map((axis) =>
          weightedSum([
            [1, toe[axis]],
            [-1, heel[axis]],
          ]),
        ) as [ReturnType<typeof weightedSum>, ReturnType<typeof weightedSum>];
        const measured = Math.hypot(x.value, y.value);
        const marks =
          measured > 0 ? Math.hypot(x.value * x.u, y.value * y.u) / measured : Math.hypot(x.u, y.u);
        return {
          square: measured ** 2 - x.u ** 2 - y.u ** 2,
          // Weighed by how long a runner is: by how long it looks, short ones would count for more.
          u: Math.hypot(2 * ABOUT * Math.hypot(marks, TOUCHES), Math.SQRT2 * (x.u ** 2 + y.u ** 2)),
        };
      }),
    ];
  } catch (error) {
    if (error instanceof Unmeasurable) return [];
    throw error;
  }
}
