import type { NotAlike, TurnBetween } from "../../src/motion/compareClips.ts";
import { K95 } from "../../src/uncertainty/uncertain.ts";

const THOUSANDTH = 3;
const MILLIONTH = 6;

/** What `motion CLIP --like OTHER --json` prints. */
export function likeJson(found: TurnBetween | NotAlike): object {
  const head = { format: "blademark.motion-like", version: 1 };
  if (!found.alike) {
    const none = { value: null, why: found.text };
    const same = TELLS.has(found.why) ? false : null;
    return {
      ...head,
      same_place: same,
      reason: found.why,
      dx_px: none,
      dy_px: none,
      turn_deg: none,
      share: null,
    };
  }
  const known = ({ value, u }: TurnBetween["dxPx"], digits: number) => ({
    value: Number(value.toFixed(digits)) + 0,
    u95: Number((K95 * u).toFixed(digits)),
  });
  return {
    ...{ ...head, same_place: true, reason: null },
    dx_px: known(found.dxPx, THOUSANDTH),
    dy_px: known(found.dyPx, THOUSANDTH),
    turn_deg: known(found.turnDeg, MILLIONTH),
    share: Number(found.share.toFixed(2)),
  };
}

/** These show that the two have no scale in common; the others only leave it open. */
const TELLS: ReadonlySet<NotAlike["why"]> = new Set(["size", "zoom", "place"]);

export function likeWords(found: TurnBetween | NotAlike): string {
  if (!found.alike) return found.text;
  const { dxPx, dyPx, turnDeg, share } = found;
  const px = ({ value, u }: TurnBetween["dxPx"], more: string, less: string) =>
    `${Math.abs(value).toFixed(2)} ± ${(K95 * u).toFixed(2)} px ${value >= 0 ? more : less}`;
  return [
    "Filmed from the same place with the same zoom.",
    `The other clip's background lies ${px(dxPx, "right", "left")} and ${px(dyPx, "down", "up")} in this one, turned by ${turnDeg.value.toFixed(3)} ± ${(K95 * turnDeg.u).toFixed(3)}°, at the picture's centre.`,
    `${Math.round(100 * share)} % of what stands still in it was found again.`,
  ].join("\n");
}
