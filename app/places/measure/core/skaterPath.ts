import type { PicturePoint, Scale } from "../../../../src/ice/types.ts";
import type { EventFrame, Mark, Side } from "../../../../src/study/types.ts";
import type { Box, SkaterPlace } from "../../../picture/follow.ts";
import { other } from "../guide/sequence.ts";
import { kernel, lineAt, localLine, offPath, type Sample } from "./localLine.ts";

/**
 * Where the skater is on any frame, from the blades marked on some: only a place to look at, nothing is measured from it.
 */
export interface PathInput {
  readonly marks: readonly Mark[];
  readonly events: readonly EventFrame[];
  /** null while there is none. */
  readonly scale: Scale | null;
  /** Frames of the clip in a real second. */
  readonly ratePerS: number;
  /** How fast the skater goes along the lane on the whole, m/s; 0 = not known. It counts only while few marks tell. */
  readonly speed: number;
}

/**
 * @param pushing the blade that is out to its side on that frame; null = not known
 * @returns where the skater is on that frame, `height` metres over the ice; null = nothing is marked that tells
 */
export type SkaterPath = (frame: number, height: number, pushing: Side | null) => SkaterPlace | null;

/**
 * Marks of about so long around a frame tell where the skater is on it, real seconds: along the lane those of a stride, for
 * speed changes; across it those of more, for blades swing from side to side while the body hardly does.
 */
const WINDOW_S = { along: 0.3, across: 0.8 };
/** What is known beforehand counts as much as marks so far apart, real seconds: the trial's mean speed along, none across. */
const BEFOREHAND_S = { along: 0.08, across: 0.5, either: 0.2, rise: 0.02 };
/** How far the outer blade is from the body at blade-off, metres. Common practice, no source: half a wide stride. */
const OUTER_M = 0.6;
const NARROWEST_M = 0.45;
const WIDEST_M = 0.85;
/** The same where one blade alone is marked and nobody knows on which side of it the body is. */
const UNKNOWN_M = 1.1;
/** So long before the first or after the last mark the body surely goes on as it went, real seconds; then it is looked for wider, m/s. */
const SURE_S = 0.4;
const UNSURE_M_PER_S = 0.5;
/** But where one stands before the start is known so well, metres. */
const UNSURE_STANDING_M = 0.2;
/** Frames of marks from which on that is known. */
const ENOUGH = 4;
/** Speed that is less than this share of what it is so long after the first marks has risen from a standing start, real seconds. */
const RISING_S = 1.2;
const RISEN = 0.9;
/** Whoever starts standing stands right behind the start line, metres along the lane. */
const STANDS_M = -0.5;
/** How far to either side of the body the other blade is as one pushes, metres, where it was not marked. Common practice, no source. */
const STANDING_M = 0.3;

interface BladeSample extends Sample {
  readonly mark: Mark;
}

export function skaterPath(input: PathInput): SkaterPath {
  const blades = input.marks.filter((m) => m.point === "blade_heel" || m.point === "blade_toe");
  const { scale, ratePerS, speed } = input;
  const seen = blades.map((m) => ({ frame: m.frame, x: m.xPx, y: m.yPx, mark: m }));
  const onIce = scale ? iceSamples(blades, input.events, scale) : [];
  const along = kernel(WINDOW_S.along, BEFOREHAND_S.along, ratePerS);
  const rise = kernel(WINDOW_S.along, BEFOREHAND_S.rise, ratePerS);
  const across = kernel(WINDOW_S.across, BEFOREHAND_S.across, ratePerS);
  const either = kernel(WINDOW_S.across, BEFOREHAND_S.either, ratePerS);
  let outer: number | null = null;
  let offsets: readonly Offset[] | null = null;
  const [firstOnIce, lastOnIce] = ends(onIce.map((s) => s.frame));
  /** A standing start: so much speed was gained while the first strides were marked. */
  let stood: boolean | null = null;

  function alongLine(frame: number): number {
    return localLine(onIce, (s) => s.x, frame, along, speed / ratePerS);
  }

  function alongAt(frame: number): number {
    if (frame >= firstOnIce) return alongLine(frame);
    stood ??= hasStood();
    return stood ? Math.max(STANDS_M, alongLine(frame)) : alongLine(frame);
  }

  function hasStood(): boolean {
    const later = firstOnIce + RISING_S * ratePerS;
    const speedAt = (frame: number) => lineAt(onIce, (s) => s.x, frame, rise, 0).slope;
    return later <= lastOnIce && speedAt(firstOnIce) < RISEN * speedAt(later);
  }

  /** Many marks lie on one frame. */
  const bodies = new Map<number, ReturnType<typeof placedByIce>>();
  function byIce(frame: number): ReturnType<typeof placedByIce> {
    const known = bodies.get(frame);
    if (known !== undefined) return known;
    const body = placedByIce(frame);
    bodies.set(frame, body);
    return body;
  }

  function placedByIce(
    frame: number,
  ): { at: PicturePoint; pxPerM: number; lift(height: number): PicturePoint } | null {
    if (!scale || onIce.length === 0) return null;
    const x = alongAt(frame);
    const y = localLine(onIce, (s) => s.y, frame, across, 0);
    const at = scale.toPicture(x, y, 0, frame);
    const pxPerM = at && metreAt(scale, x, y, frame);
    if (!at || !pxPerM) return null;
    const lift = (height: number) => scale.toPicture(x, y, height, frame) ?? lifted(at, height * pxPerM);
    return { at, pxPerM, lift };
  }

  function byPicture(frame: number, height: number): SkaterPlace | null {
    if (seen.length === 0) return null;
    const x = localLine(seen, (s) => s.x, frame, either, 0);
    const y = localLine(seen, (s) => s.y, frame, either, 0);
    const pxPerM = Math.max(1, offPath(seen, frame, either)) / OUTER_M;
    const at = lifted({ xPx: x, yPx: y }, height * pxPerM);
    return { at, pxPerM, outer: outerOf(seen, WIDEST_M), seen: null, unsure: unsure(frame) };
  }

  function unsure(frame: number): number {
    const frames = blades.map((m) => m.frame);
    const beyond = Math.max(Math.min(...frames) - frame, frame - Math.max(...frames), 0) / ratePerS;
    const most = stood && frame < firstOnIce ? UNSURE_STANDING_M : Number.POSITIVE_INFINITY;
    return Math.min(most, UNSURE_M_PER_S * Math.max(0, beyond - SURE_S));
  }

  /** Where the blades of all frames are seen from the body, metres in the picture. */
  function allOffsets(): readonly Offset[] {
    return onIce.flatMap(({ frame, mark }) => {
      const body = byIce(frame);
      if (!body) return [];
      const x = (mark.xPx - body.at.xPx) / body.pxPerM;
      const y = (mark.yPx - body.at.yPx) / body.pxPerM;
      return [{ frame, side: mark.side, pushing: pushingAt(input.events, frame), x, y }];
    });
  }

  return (frame, height, pushing) => {
    const body = byIce(frame);
    if (!body) return byPicture(frame, height);
    offsets ??= allOffsets();
    outer ??= outerOf(onIce, Math.max(...offsets.map((o) => Math.hypot(o.x, o.y))));
    return {
      at: body.lift(height),
      pxPerM: body.pxPerM,
      outer,
      seen: pushing ? boxOf(offsets, pushing) : boxOfEither(offsets),
      unsure: unsure(frame),
    };
  };
}

interface Offset {
  readonly frame: number;
  readonly side: Mark["side"];
  readonly pushing: Side | null;
  readonly x: number;
  readonly y: number;
}

/** The blade that is out to its side on an event frame: it leaves the ice there, or the other one comes down. */
function pushingAt(events: readonly EventFrame[], frame: number): Side | null {
  for (const { event, side, frame: at } of events) {
    if (at !== frame) continue;
    if (event === "blade_off") return side;
    if (event === "blade_on") return other(side);
  }
  return null;
}

/** What both blades took up around the body while that one pushed; null = too little is marked of it. */
function boxOf(offsets: readonly Offset[], pushing: Side): Box | null {
  const there = offsets.filter((o) => o.pushing === pushing);
  const out = there.filter((o) => o.side === pushing);
  if (new Set(out.map((o) => o.frame)).size < 2) return null;
  const standing =
    new Set(there.filter((o) => o.side !== pushing).map((o) => o.frame)).size < 2 ? STANDING_M : 0;
  const x = there.map((o) => o.x);
  const y = there.map((o) => o.y);
  return {
    left: Math.max(standing, -Math.min(...x)),
    right: Math.max(standing, ...x),
    up: -Math.min(...y),
    down: Math.max(...y),
  };
}

/** The same of whichever blade pushes: to the sides as much room as ever, for nobody knows which one is out. */
function boxOfEither(offsets: readonly Offset[]): Box | null {
  const [left, right] = [boxOf(offsets, "left"), boxOf(offsets, "right")];
  if (!left || !right) return null;
  const beside = Number.POSITIVE_INFINITY;
  return {
    ...{ left: beside, right: beside },
    up: Math.max(left.up, right.up),
    down: Math.max(left.down, right.down),
  };
}

const ends = (frames: readonly number[]) => [Math.min(...frames), Math.max(...frames)] as const;

/** As far from the body as a blade may be, metres: as seen so far, and farther while few frames are marked. */
function outerOf(samples: readonly Sample[], seen: number): number {
  const frames = new Set(samples.map((s) => s.frame)).size;
  const known = Math.min(1, (frames - 1) / (ENOUGH - 1));
  return known * Math.min(WIDEST_M, Math.max(NARROWEST_M, seen)) + (1 - known) * UNKNOWN_M;
}

const lifted = ({ xPx, yPx }: PicturePoint, byPx: number): PicturePoint => ({ xPx, yPx: yPx - byPx });

/** Blades that touch the ice, on it, metres: one in the air is seen metres from where it is. */
function iceSamples(blades: readonly Mark[], events: readonly EventFrame[], scale: Scale): BladeSample[] {
  const touches = (m: Mark) =>
    events.some(
      (e) =>
        e.frame === m.frame && (e.event === "blade_off" || (e.event === "blade_on" && e.side === m.side)),
    );
  return blades.filter(touches).flatMap((m) => {
    const at = scale.toIce(m, m.frame);
    return at ? [{ frame: m.frame, ...at, mark: m }] : [];
  });
}

/** Picture px a metre across the way of looking, at a place on the ice: the larger of both ways the ice is seen along. */
function metreAt(scale: Scale, x: number, y: number, frame: number): number | null {
  const step = 0.05;
  const [a, b, c, d] = [
    [x - step, y],
    [x + step, y],
    [x, y - step],
    [x, y + step],
  ].map(([px, py]) => scale.toPicture(px as number, py as number, 0, frame));
  if (!a || !b || !c || !d) return null;
  const [ux, uy] = [(b.xPx - a.xPx) / (2 * step), (b.yPx - a.yPx) / (2 * step)];
  const [vx, vy] = [(d.xPx - c.xPx) / (2 * step), (d.yPx - c.yPx) / (2 * step)];
  // The larger singular value of the map from ice to picture.
  const sum = ux * ux + uy * uy + vx * vx + vy * vy;
  const area = ux * vy - uy * vx;
  return Math.sqrt((sum + Math.sqrt(Math.max(0, sum * sum - 4 * area * area))) / 2);
}
