import type { Mark } from "../../src/study/types.ts";
import type { FilmedTrial } from "../validate/film.ts";
import type { Dice } from "../validate/random.ts";

/*
 * Marks confirmed from suggestions, through the core. The skater, the camera and the truth are tests/validate's, which shares
 * no code with src. How suggestions err is modelled as they come about, not as the core reckons: a blade is found where
 * its last three confirmed strides put its middle, in the air one to three of them, each with the errors of its own marks;
 * the match errs for both ends alike, and how long the blade looks for each end the other way. Both hips hang on one place of
 * the trunk, moved by the mean of how marks confirmed so far differ from what was seen there. Sizes as measured on renders with marks
 * that do not err, rounded up (docs/suggested-marks.md), twice and three times that, with outliers. A person sees each
 * magnified and moves a piece that looks wrong.
 */

/** SD of this person's marks, px, and how far off a suggestion has to look for them to move it. */
export const HAND = { blade: 1, hip: 1.5 };
const LOOKS_WRONG = { blade: 3, hip: 5 };
/** Whether a point lies on what it marks is seen better than a hand can put it: that share of the hand's error. */
const EYE = 0.5;
/** SD, px: of a blade's middle where three find it, of half its length; what is stated before the clip tells. */
const MATCH_PX = { onIce: [0.4, 0.4], inAir: [0.5, 1] } as const;
const HALF_PX = { onIce: [0.5, 0.5], inAir: [0.5, 1] } as const;
const POSE_PX = [0.8, 1.1] as const;
const STATED_PX = 2.3;

export interface Errs {
  readonly times: number;
  readonly outliers: number;
  /** Share of the way to the suggestion at which a moved point ends. */
  readonly anchored?: number;
  /** Nothing is looked at: all is accepted. */
  readonly unseen?: boolean;
}

type Frame = { readonly frame: number; readonly kind: string; readonly stride: number };
type Off = readonly [x: number, y: number];

export const keyOf = (m: Pick<Mark, "frame" | "point" | "side">) => `${m.frame} ${m.point} ${m.side}`;

/** The trial's marks as they come about on the stride sheet; `moved` and `looked` are counted. */
export function confirmedMarks(
  film: FilmedTrial,
  exact: ReadonlyMap<string, Mark>,
  byHand: readonly Mark[],
  errs: Errs,
  d: Dice,
) {
  const near = film.picked.map((p, k) => ({ p, k, size: bladeLength(exact, p.off, p.push.foot) }));
  const comesNearer = near.at(-1)!.size > near[0]!.size;
  const order = comesNearer ? [...near].reverse() : near;
  const taught = new Set<number>();
  for (const foot of ["left", "right"] as const)
    for (const { k } of order.filter((o) => o.p.push.foot === foot).slice(0, 2)) taught.add(k);
  const frames: Frame[] = order.flatMap(({ p, k }) =>
    (["off", "nearest", "on"] as const).map((e) => ({ frame: p[e], kind: `${e} ${p.push.foot}`, stride: k })),
  );
  const done = new Map<string, Mark>();
  /** What was confirmed of each kind of frame and point, the last one last: its error, and how that frame was seen. */
  const known = new Map<string, { frame: number; off: Off; seen: Off }[]>();
  let [looked, moved, number] = [0, 0, 0];
  for (const f of [
    ...frames.filter((x) => taught.has(x.stride)),
    ...frames.filter((x) => !taught.has(x.stride)),
  ]) {
    const here = byHand.filter(
      (m) => m.frame === f.frame && !done.has(keyOf(m)) && /blade|hip/.test(m.point),
    );
    const isTaught = taught.has(f.stride);
    const blind = !isTaught && number++ % 8 === 3;
    const pieces = new Map<string, Mark[]>();
    for (const m of here) {
      const piece = m.point === "hip" ? "hips" : `blade ${m.side}`;
      pieces.set(piece, [...(pieces.get(piece) ?? []), m]);
    }
    for (const [name, piece] of pieces) {
      const kind = name === "hips" ? "hip" : "blade";
      const wild = errs.outliers > 0 && d.chance(errs.outliers);
      const wildly: Off = wild ? [d.even(-9, 9), d.even(-9, 9)] : [0, 0];
      const t = errs.times;
      const by = f.kind.startsWith("nearest") ? "inAir" : "onIce";
      const voices = by === "inAir" ? 1 + Math.floor(d.even(0, 3)) : 3;
      const listed = (point: Mark["point"], side: Mark["side"]) =>
        (known.get(`${f.kind} ${point} ${side}`) ?? []).slice(kind === "blade" ? -voices : 0);
      const fewer = Math.sqrt(3 / Math.max(1, Math.min(3, listed(piece[0]!.point, piece[0]!.side).length)));
      const both = ([x, y]: Off): Off => [d.normal(t * x) + wildly[0], d.normal(t * y) + wildly[1]];
      const seen = kind === "hip" ? both(POSE_PX) : ([0, 0] as const);
      const match = both([MATCH_PX[by][0] * fewer, MATCH_PX[by][1] * fewer]);
      const half: Off = [d.normal(t * HALF_PX[by][0]), d.normal(t * HALF_PX[by][1])];
      const points = piece.map((m) => {
        const from = listed(m.point, m.side);
        const c = (k: 0 | 1) =>
          kind === "hip"
            ? seen[k] + meanOf(from.map((x) => x.off[k] - x.seen[k]))
            : match[k] + (m.point === "blade_toe" ? half[k] : -half[k]) + meanOf(from.map((x) => x.off[k]));
        const true_ = exact.get(keyOf(m))!;
        const suggested =
          (known.get(`${f.kind} ${m.point} ${m.side}`)?.length ?? 0) >= 2 && !isTaught
            ? ([c(0), c(1)] as const)
            : null;
        return { m, true_, seen, from, suggested, hand: [m.xPx - true_.xPx, m.yPx - true_.yPx] as Off };
      });
      const isSuggested = points.every((p) => p.suggested);
      const far = points.some(
        ({ suggested: s, hand }) =>
          s && Math.hypot(s[0] - EYE * hand[0], s[1] - EYE * hand[1]) > LOOKS_WRONG[kind],
      );
      const accepts = isSuggested && !blind && (errs.unseen || !far);
      if (isSuggested && !blind) {
        looked += points.length;
        if (!accepts) moved += points.length;
      }
      for (const { m, true_, seen, from, suggested: s, hand } of points) {
        const a = errs.anchored ?? 0;
        const off: Off =
          !s || !isSuggested || blind
            ? hand
            : accepts
              ? s
              : [hand[0] + a * (s[0] - hand[0]), hand[1] + a * (s[1] - hand[1])];
        const suggested =
          s && isSuggested
            ? {
                suggested: {
                  xPx: true_.xPx + s[0],
                  yPx: true_.yPx + s[1],
                  uPx: STATED_PX,
                  by: kind === "hip" ? ("pose" as const) : ("template" as const),
                  model: "",
                  templates: from.map((x) => x.frame),
                  ...(blind ? { blind: true } : {}),
                },
                from: blind ? ("hand" as const) : accepts ? ("accepted" as const) : ("moved" as const),
              }
            : {};
        done.set(keyOf(m), { ...m, xPx: true_.xPx + off[0], yPx: true_.yPx + off[1], ...suggested });
        const id = `${f.kind} ${m.point} ${m.side}`;
        known.set(id, [...(known.get(id) ?? []), { frame: f.frame, off, seen }]);
      }
    }
  }
  return { marks: [...done.values()].sort((a, b) => a.frame - b.frame), looked, moved };
}

const meanOf = (values: readonly number[]) => values.reduce((s, v) => s + v, 0) / Math.max(1, values.length);

function bladeLength(exact: ReadonlyMap<string, Mark>, frame: number, side: Mark["side"]): number {
  const [a, b] = (["blade_heel", "blade_toe"] as const).map((point) =>
    exact.get(keyOf({ frame, point, side })),
  );
  return a && b ? Math.hypot(a.xPx - b.xPx, a.yPx - b.yPx) : 0;
}
