import type { StrideEvents } from "../../kinematics/trial/strideOrder.ts";
import type { EventFrame, Side } from "../../study/types.ts";

/** A view of the trial as its pushes are matched: its strides, and its clock in that of the first. */
export interface TimedView {
  readonly strides: readonly StrideEvents[];
  readonly events: readonly EventFrame[];
  /** About when a frame was, real seconds of the first view's clock. */
  readonly secondsOf: (event: EventFrame) => number;
  /** Real seconds from one frame to the next. */
  readonly frameSeconds: number;
}

/** One push of the skater and which stride of each view it is. */
export interface Push {
  /** 1, 2, 3 … in order of blade-off over all views. */
  readonly stride: number;
  readonly side: Side;
  /** By view: its own stride; null where it does not show this push. */
  readonly strides: readonly (StrideEvents | null)[];
  /** Views that call its blade by the other side. */
  readonly exchanged: readonly number[];
}

/**
 * Blade-offs of one side that lie nearer than this share of the usual time from one push to the next are of the same push, also
 * where one of them was picked badly: the next of that side is two such times away. Of different sides only the nearest are.
 */
const SAME_PUSH = 0.9;
const SAME_PUSH_OTHER_SIDE = 0.3;

interface Growing {
  readonly time: number;
  readonly side: Side;
  readonly strides: (StrideEvents | null)[];
}

/** The pushes of all views, each once, in order. */
export function pushesOf(views: readonly TimedView[]): Push[] {
  const found: Growing[] = [];
  const usual = usualGap(views);
  views.forEach((view, v) => {
    for (const stride of view.strides) {
      const time = view.secondsOf(stride.off);
      const same = found
        .filter(
          (push) =>
            push.strides[v] === null &&
            Math.abs(push.time - time) <
              (push.side === stride.side ? SAME_PUSH : SAME_PUSH_OTHER_SIDE) * usual,
        )
        .sort((a, b) => Math.abs(a.time - time) - Math.abs(b.time - time))[0];
      if (same) same.strides[v] = stride;
      else {
        const strides: Growing["strides"] = views.map(() => null);
        strides[v] = stride;
        found.push({ time, side: stride.side, strides });
      }
    }
  });
  found.sort((a, b) => a.time - b.time);
  return found.map(({ strides }, k) => {
    const side = sideOf(strides, views);
    const exchanged = strides.flatMap((s, v) => (s && s.side !== side ? [v] : []));
    return { stride: k + 1, side, strides, exchanged };
  });
}

/** Where views differ: the side that lets the feet take turns; else the first view's. */
function sideOf(strides: Growing["strides"], views: readonly TimedView[]): Side {
  const shown = strides.flatMap((s, v) =>
    s ? [{ side: s.side, inTurn: takesTurns(s, views[v]!.strides) }] : [],
  );
  return (shown.find(({ inTurn }) => inTurn) ?? shown[0]!).side;
}

function takesTurns({ stride, side }: StrideEvents, strides: readonly StrideEvents[]): boolean {
  return [strides[stride - 2], strides[stride]].every((next) => next === undefined || next.side !== side);
}

/** Middle time between blade-offs over all views, seconds. */
function usualGap(views: readonly TimedView[]): number {
  const gaps = views
    .flatMap(({ strides, secondsOf }) =>
      strides.slice(1).map((s, k) => secondsOf(s.off) - secondsOf(strides[k]!.off)),
    )
    .sort((a, b) => a - b);
  return gaps[gaps.length >> 1] ?? FEW_STRIDES_GAP;
}

/** Where no view has two strides, seconds: sprinting skaters push three times a second. [judgement] */
const FEW_STRIDES_GAP = 0.33;

/** Frames of an arm's extreme in two views may lie so far apart, seconds, and are one extreme: a swing takes longer. [judgement] */
const SAME_EXTREME = 0.12;

/**
 * Names of what views show in their frames, the same for the same moment: so that what is believed of a moment is one belief.
 * By view: a frame's name, null where it shows nothing that was picked.
 */
export function momentNames(
  views: readonly TimedView[],
  pushes: readonly Push[],
): readonly ReadonlyMap<number, string>[] {
  const names = views.map(() => new Map<number, string>());
  const put = (v: number, frame: number, name: string) => {
    if (!names[v]!.has(frame)) names[v]!.set(frame, name);
  };
  for (const { strides, stride } of pushes) {
    for (const what of ["off", "on", "nearest"] as const) {
      strides.forEach((own, v) => {
        const event = own?.[what];
        if (event) put(v, event.frame, `${what} ${stride}`);
      });
    }
  }
  for (const group of extremesOf(views)) {
    for (const { v, event } of group.shown) put(v, event.frame, group.name);
  }
  return names;
}

/** An arm's extreme and how each view that picks it shows it. */
export interface Extreme {
  readonly name: string;
  readonly side: Side;
  readonly event: "arm_front" | "arm_back";
  readonly shown: readonly { readonly v: number; readonly event: EventFrame; readonly time: number }[];
}

/** The arms' extremes of all views, each once. */
export function extremesOf(views: readonly TimedView[]): Extreme[] {
  const groups: {
    name: string;
    side: Side;
    event: Extreme["event"];
    shown: { v: number; event: EventFrame; time: number }[];
  }[] = [];
  views.forEach((view, v) => {
    for (const e of view.events) {
      if (e.event !== "arm_front" && e.event !== "arm_back") continue;
      const time = view.secondsOf(e);
      const same = groups.find(
        (g) =>
          g.side === e.side &&
          g.event === e.event &&
          g.shown.every((s) => s.v !== v) &&
          Math.abs(g.shown[0]!.time - time) < SAME_EXTREME,
      );
      if (same) same.shown.push({ v, event: e, time });
      else
        groups.push({
          name: `${e.event} ${e.side} ${groups.length}`,
          side: e.side,
          event: e.event,
          shown: [{ v, event: e, time }],
        });
    }
  });
  return groups;
}
