import type { PicturePoint } from "../../src/ice/types.ts";
import { centreOn, fitView, type Size, type View } from "./view.ts";

/** Room around a place, metres each way in the picture. */
export interface Box {
  readonly left: number;
  readonly right: number;
  readonly up: number;
  readonly down: number;
}

/** Where the skater is on a frame, as far as marks tell. */
export interface SkaterPlace {
  /** Seen at the height of what is aimed for, between both blades. */
  readonly at: PicturePoint;
  /** Picture px a metre there, across the way of looking. */
  readonly pxPerM: number;
  /** How far to its side a blade may lie, metres. */
  readonly outer: number;
  /** What both blades took up around there in such frames; null = not known. */
  readonly seen: Box | null;
  /** How far from there the body may be, metres, each way: beyond the marked frames nobody knows how it went on. */
  readonly unsure: number;
}

/** What is to be looked at: both blades, the hips over them, or the arms. */
export type Aimed = "blades" | "hips" | "arms";

/** Heights over the ice in the middle of the view, metres. Common practice, no source: of a crouched skater, with room. */
export const AIMED_HEIGHT: Readonly<Record<Aimed, number>> = { blades: 0.05, hips: 0.6, arms: 0.85 };

/** What the view holds on either side beyond the blades, metres: room for not knowing exactly where they will be. */
const BESIDE = 0.15;

/** What it holds in height, and of arms in width, metres. */
const HEIGHT: Readonly<Record<Aimed, number>> = { blades: 0.65, hips: 0.65, arms: 1.3 };
const ARMS_WIDTH = 2;

/** Larger than this a picture shows only its pixels; smaller, a blade's end is a guess; stage px a picture px. */
const MOST = 6;
const LEAST = 3;

/** What is left around the blades, as they were seen so far, where the skater is so near that it must be little, metres. */
const CLOSE = { beside: 0.14, over: 0.07 };

/**
 * The view that holds the skater in the middle, as large on the stage at any distance from the camera; so near that a blade's
 * end could not be marked well any more, it holds both blades and less around them.
 */
export function followView(place: SkaterPlace, aimed: Aimed, picture: Size, stage: Size): View {
  const { at, pxPerM, seen, unsure } = place;
  const usual = usualBox(place, aimed);
  const fitting = (b: Box) =>
    Math.min(stage.width / ((b.left + b.right) * pxPerM), stage.height / ((b.up + b.down) * pxPerM));
  let box = usual;
  if (aimed === "blades" && seen) {
    const room = { usual, close: closeBox(seen, unsure), pxPerM, stage };
    box = tightened(room, LEAST);
    // Where one way leaves no room for that size, nothing is taken from the other one beyond the size there is.
    if (fitting(box) < LEAST) box = tightened(room, fitting(box));
  }
  const fits = fitting(box);
  const scale = Math.max(fitView(picture, stage).scale, Math.min(MOST, fits));
  const middle = {
    xPx: at.xPx + ((box.right - box.left) / 2) * pxPerM,
    yPx: at.yPx + ((box.down - box.up) / 2) * pxPerM,
  };
  return centreOn(middle, scale, picture, stage);
}

function usualBox({ outer, unsure }: SkaterPlace, aimed: Aimed): Box {
  const beside = Math.max(outer + BESIDE, aimed === "arms" ? ARMS_WIDTH / 2 : 0) + unsure;
  const over = HEIGHT[aimed] / 2 + unsure;
  return { left: beside, right: beside, up: over, down: over };
}

function closeBox({ left, right, up, down }: Box, unsure: number): Box {
  const [beside, over] = [CLOSE.beside + unsure, CLOSE.over + unsure];
  return { left: left + beside, right: right + beside, up: up + over, down: down + over };
}

interface Room {
  readonly usual: Box;
  readonly close: Box;
  readonly pxPerM: number;
  readonly stage: Size;
}

/** From the usual room so far towards the close one, each way by itself, that the picture is `least` stage px a picture px; not farther. */
function tightened({ usual, close, pxPerM, stage }: Room, least: number): Box {
  const towards = (share: number, from: number, to: number) => from + share * (Math.min(from, to) - from);
  const along = (room: number, [a, b]: readonly [number, number], [c, d]: readonly [number, number]) => {
    const [wide, narrow] = [a + b, Math.min(a, c) + Math.min(b, d)];
    const over = wide - room / (least * pxPerM);
    const share = over <= 0 ? 0 : narrow < wide ? Math.min(1, over / (wide - narrow)) : 0;
    return [towards(share, a, c), towards(share, b, d)] as const;
  };
  const [left, right] = along(stage.width, [usual.left, usual.right], [close.left, close.right]);
  const [up, down] = along(stage.height, [usual.up, usual.down], [close.up, close.down]);
  return { left, right, up, down };
}
