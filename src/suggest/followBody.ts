import type { Mark } from "../study/types.ts";
import type { Body } from "./body.ts";
import { nextSquare } from "./follow.ts";
import type { Square } from "./pixels.ts";
import { marksByFrame } from "./taught.ts";

/** Looks at a square of a frame and says where it sees a body. */
export type Look = (frame: number, square: Square) => Promise<Body>;

/** Frames in a row without a body after which it counts as gone. */
const GONE_AFTER = 3;

/**
 * Follows one body through a clip from a frame where it is known, forward and then backward, each frame's square from the
 * bodies seen last. The same frames and the same model give the same bodies, to the last bit.
 *
 * @param range frames first … last that may be looked at
 * @param look throws to stop it
 * @returns by frame; missing where the body was lost
 */
export async function followBody(
  look: Look,
  from: { readonly frame: number; readonly square: Square },
  range: { readonly first: number; readonly last: number },
): Promise<(Body | undefined)[]> {
  const bodies: (Body | undefined)[] = new Array(range.last + 1).fill(undefined);
  // The first square is a guess from marks: looked at twice, the second time about what was seen.
  const guess = await look(from.frame, from.square);
  const square = nextSquare([guess]);
  if (!square) return bodies;
  const start = await look(from.frame, square);
  bodies[from.frame] = start;
  for (const step of [1, -1]) {
    let last: Body[] = [start];
    let missed = 0;
    for (let frame = from.frame + step; frame >= range.first && frame <= range.last; frame += step) {
      const next = nextSquare(last);
      if (!next) {
        missed++;
        if (missed >= GONE_AFTER) break;
        last = last.slice(1);
        if (last.length === 0) break;
        continue;
      }
      missed = 0;
      const body = await look(frame, next);
      bodies[frame] = body;
      last = [body, last[0] as Body];
    }
  }
  return bodies;
}

/** A body's height as a multiple of what the marks on one frame span from blades to hips, and to shoulders. */
const OF_HIP = 2.4;
const OF_BLADE = 6;

/**
 * Where a body surely is: the frame with the most marks, the largest first among equals, and a square about it.
 *
 * @returns null without marks
 */
export function startFrom(marks: readonly Mark[]): { frame: number; square: Square } | null {
  let best: { frame: number; square: Square; points: number } | null = null;
  // Taught marks only: what is confirmed from then on must not have the whole clip looked at again.
  for (const [frame, on] of marksByFrame(marks.filter((m) => !m.suggested))) {
    const square = squareAbout(on);
    if (!square) continue;
    const points = new Set(on.map((m) => `${m.point} ${m.side}`)).size;
    if (!best || points > best.points || (points === best.points && square.side > best.square.side))
      best = { frame, square, points };
  }
  return best && { frame: best.frame, square: best.square };
}

function squareAbout(marks: readonly Mark[]): Square | null {
  const blades = marks.filter((m) => m.point === "blade_heel" || m.point === "blade_toe");
  const upper = marks.filter((m) => m.point !== "blade_heel" && m.point !== "blade_toe");
  if (blades.length === 0 && upper.length < 2) return null;
  const xs = marks.map((m) => m.xPx);
  const ys = marks.map((m) => m.yPx);
  const [top, bottom] = [Math.min(...ys), Math.max(...ys)];
  const x = (Math.min(...xs) + Math.max(...xs)) / 2;
  const width = Math.max(...xs) - Math.min(...xs);
  if (blades.length > 0 && upper.length > 0) {
    const side = Math.max(OF_HIP * (bottom - top), 1.5 * width);
    return { x, y: bottom - 0.4 * side, side };
  }
  if (upper.length > 0) {
    const side = Math.max(4 * (bottom - top), 3 * width);
    return { x, y: (top + bottom) / 2 + 0.15 * side, side };
  }
  const long = Math.max(...pairs(blades).map(([a, b]) => Math.hypot(a.xPx - b.xPx, a.yPx - b.yPx)), 0);
  const side = Math.max(OF_BLADE * long, 1.5 * width);
  return side > 0 ? { x, y: bottom - 0.4 * side, side } : null;
}

function pairs(blades: readonly Mark[]): [Mark, Mark][] {
  return blades.flatMap((heel) =>
    heel.point === "blade_heel"
      ? blades
          .filter((toe) => toe.point === "blade_toe" && toe.side === heel.side)
          .map((toe): [Mark, Mark] => [heel, toe])
      : [],
  );
}
