import type { Warning } from "../../reading.ts";
import { bladeSeparation } from "../quantities/bladeSeparation.ts";
import { attempt, type Outcome } from "../quantities/readingOf.ts";
import { strideWidth } from "../quantities/strideWidth.ts";
import { placesOutside } from "../trial/bladePlaces.ts";
import { slot } from "../trial/notebook.ts";
import type { StrideEvents } from "../trial/strideOrder.ts";
import type { TrialGeometry } from "../trial/trialGeometry.ts";
import type { Stride } from "../types.ts";
import { flightsThroughout } from "./flightsThroughout.ts";
import { longBlades } from "./longBlades.ts";
import { misplacedBlades } from "./misplacedBlades.ts";
import { turnedBlades } from "./turnedBlades.ts";
import { middleRate, unlikelyStrides } from "./unlikelyStrides.ts";

const WRONG_SIDE = slot<number, { readonly isAcross: boolean; readonly isInside: boolean }>();

/** What the coach should know about a trial's readings as a whole. */
export function trialWarnings(trial: TrialGeometry, strides: readonly Stride[]): Warning[] {
  return [
    ...outsideReference(trial),
    ...wrongSides(trial),
    ...unlikelyStrides(strides),
    ...hurriedStrides(strides),
    ...longFlights(trial.strides),
    ...flightsThroughout(trial.strides, strides),
    ...notNearest(strides),
    ...longBlades(trial),
    ...misplacedBlades(trial),
    ...turnedBlades(trial),
  ];
}

function outsideReference(trial: TrialGeometry): Warning[] {
  const outside = placesOutside(trial).filter((place) => place.outside > 0.25);
  const worst = outside[0];
  if (!worst) return [];
  return [
    {
      code: "outside-ice-points",
      text: `${outside.length === 1 ? "One blade point lies" : `${outside.length} blade points lie`} outside the ice points, by up to ${worst.outside.toFixed(1)} m (${worst.side} blade, frame ${worst.frame}). Their ± is wider for it; ice points around the whole stretch are better.`,
    },
  ];
}

/** Judged by what came out, also where that is too doubtful to be shown: a blade on the wrong side turns the line of travel too. */
function wrongSides(trial: TrialGeometry): Warning[] {
  return trial.strides.flatMap(({ stride, side, off: { frame } }) => {
    const { isAcross, isInside } = trial.remember(WRONG_SIDE, stride, () => ({
      isAcross: isBelowZero(attempt(() => strideWidth(trial, stride))),
      isInside: isBelowZero(attempt(() => bladeSeparation(trial, stride))),
    }));
    if (!isAcross && !isInside) return [];
    return [
      {
        code: "blade-on-wrong-side",
        text: `In stride ${stride} the ${side} blade leaves the ice on the other blade's side${isAcross ? " of the track" : ""}. Check that left and right are not swapped in frame ${frame}.`,
        about: { blades: (["left", "right"] as const).map((of) => ({ frame, side: of })) },
      },
    ];
  });
}

function isBelowZero(outcome: Outcome): boolean {
  if ("why" in outcome || outcome.value.value >= 0) return false;
  return outcome.value.value + outcome.value.u95 < 0;
}

function hurriedStrides(strides: readonly Stride[]): Warning[] {
  const middle = middleRate(strides);
  if (middle === null) return [];
  return strides.flatMap((stride) => {
    const rate = stride.readings.stride_rate_hz.value;
    if (rate === null || rate < 2 * middle) return [];
    return [
      {
        code: "hurried-stride",
        text: `Stride ${stride.stride} comes in less than half the time of the others. Check the blade-off in frame ${stride.blade_off_frame} and the one before it.`,
      },
    ];
  });
}

/** The recovering blade cannot be nearest the midline in one frame and nearer still where it comes down. */
function notNearest(strides: readonly Stride[]): Warning[] {
  return strides.flatMap(({ stride, readings }) => {
    const { recovery_to_midline_m: nearest, touchdown_to_midline_m: down } = readings;
    if (nearest.value === null || down.value === null) return [];
    if (nearest.value - down.value <= Math.hypot(nearest.u95, down.u95)) return [];
    const cm = (metres: number) => `${(100 * metres).toFixed(0)} cm`;
    return [
      {
        code: "not-nearest",
        text: `In stride ${stride} the blade is ${cm(nearest.value)} from the midline in the frame picked as nearest, and ${cm(down.value)} where it comes down. Look for a frame in which it is nearer.`,
        about: { strides: [stride] },
      },
    ];
  });
}

/** A blade comes down before the other leaves, or very soon after. */
function longFlights(strides: readonly StrideEvents[]): Warning[] {
  return strides.slice(0, -1).flatMap((at, k) => {
    const next = strides[k + 1]!;
    if (!at.on || next.side === at.side) return [];
    const flight = at.on.frame - next.off.frame;
    if (flight <= (next.off.frame - at.off.frame) / 2) return [];
    return [
      {
        code: "both-blades-in-the-air",
        text: `Between frames ${next.off.frame} and ${at.on.frame} both blades would be in the air. Check the ${next.side} blade-off and the ${at.side} blade-on there.`,
      },
    ];
  });
}
