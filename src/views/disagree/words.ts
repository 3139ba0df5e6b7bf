import type { Push } from "../joint/pushes.ts";
import type { Joint } from "../joint/view.ts";
import type { Fault } from "./judge.ts";
import type { ScaleMisfit } from "./scaleMisfit.ts";

/*
 * What is said where views disagree: which point, in which frames, how far, and what was done about it.
 */

const CONTACT = { blade_off: "blade-off", blade_on: "blade-on" } as const;

/** "frame 57 of view 1 and frame 114 of view 2" */
export function inFrames(views: readonly number[], frames: readonly number[]): string {
  return views.map((v, k) => `frame ${frames[k]} of view ${v + 1}`).join(" and ");
}

function pair([a, b]: readonly [number, number]): string {
  return `Views ${a + 1} and ${b + 1}`;
}

const cm = (metres: number) => `${(100 * metres).toFixed(0)} cm`;

function follows(blamed: number | null, against: string): string {
  return blamed === null
    ? "Nothing tells which of them is right, so what rests on it is not shown. Check both."
    : `${against} view ${blamed + 1}, so what rests on it there is not used. Check it.`;
}

/** A point or a moment about which two views differ. */
export function faultWords({ agreement, apart, most, blamed, exchanged }: Fault): string {
  const { what, contact, side, push, views, frames } = agreement;
  const where = inFrames(views, frames);
  const stride = `stride ${push.stride}`;
  if (what === "time") {
    return `${pair(views)} disagree about when the ${side} ${CONTACT[contact]} of ${stride} was: ${where} are ${(1000 * apart).toFixed(0)} ms apart, and two picks of one moment lie within ${(1000 * most).toFixed(0)} ms. ${follows(blamed, "The rhythm speaks against")}`;
  }
  if (exchanged) {
    return `${pair(views)} disagree about left and right at the ${CONTACT[contact]} of ${stride}: ${where} have the two blades exchanged, ${cm(apart)} apart. ${follows(blamed, "Its own marks speak against")}`;
  }
  const blade = what === "blade" ? `the ${side} blade` : `the ${side} blade, which stands,`;
  return `${pair(views)} disagree about ${blade} at the ${CONTACT[contact]} of ${stride}: ${where} put it ${cm(apart)} apart, where chance alone puts it up to ${cm(most)}. ${follows(blamed, "Its own marks speak against")}`;
}

/** Two scales that can't both be right. */
export function scaleWords({ views, longer, turnedDeg, shifted, worst, apart }: ScaleMisfit): string {
  const percent = (100 * Math.abs(longer)).toFixed(1);
  const size = `${percent} % ${longer > 0 ? "larger" : "smaller"}`;
  const point = `the ${worst.side} blade at the ${CONTACT[worst.contact]} of stride ${worst.push.stride} (${inFrames(worst.views, worst.frames)})`;
  return `${pair(views)} disagree about all points alike, so one of the two scales is wrong: the ice of view ${views[1] + 1} is ${size}, turned by ${Math.abs(turnedDeg).toFixed(1)}° and shifted by ${cm(shifted)} against that of view ${views[0] + 1}; farthest apart, by ${cm(apart)}, is ${point}. Nothing tells which scale is right, so no distance and no arm is shown. Check the ice points of both views, and that both clips show the same skate.`;
}

/** A push that one view calls left and another right. */
export function exchangedWords({ views }: Joint, push: Push): string {
  const shown = push.strides.flatMap((stride, v) => (stride ? [{ v, stride }] : []));
  const others = push.exchanged
    .map((v) => `view ${v + 1} (frame ${push.strides[v]!.off.frame})`)
    .join(" and ");
  const right = shown
    .filter(({ v }) => !push.exchanged.includes(v))
    .map(({ v, stride }) => `view ${v + 1} (frame ${stride.off.frame})`)
    .join(" and ");
  const which = views.length > 2 ? "those" : "that view";
  return `The views disagree about the side of stride ${push.stride}: ${others} calls it ${push.side === "left" ? "right" : "left"}, ${right} ${push.side}, which is its turn. What ${which} shows of it is not used. Check whether left and right are exchanged there.`;
}

/** Rays of a point off the ice that do not meet. */
export function meetingWords(push: Push, what: string, where: string, miss: number): string {
  return `The views disagree about the ${what} in stride ${push.stride}: the sights of ${where} pass it by ${cm(miss)}, farther than chance allows. What rests on it is taken from one view. Check its marks there.`;
}
