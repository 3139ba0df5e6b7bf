import { pointOnIce } from "../../kinematics/trial/bladePlaces.ts";
import { RUNNER } from "../../priors.ts";
import { chiSquareQuantile } from "../../statistics/distributions.ts";
import { weightedSum } from "../../uncertainty/uncertain.ts";
import type { Agreement } from "../joint/agreements.ts";
import { Conditioning, misfit } from "../joint/conditioning.ts";
import { had, type Joint, type View } from "../joint/view.ts";
import { type ScaleMisfit, scaleMisfit } from "./scaleMisfit.ts";

/**
 * What share of good trials may be told of a disagreement, over all their points together. [1 in 20,000, as far errors are
 * more frequent than normal ones: a slip of a frame at 30 frames a second shows a blade that has long been lifted]
 */
const FALSE_ALARMS = 0.00005;

/** A thing about which two views differ beyond chance. */
export interface Fault {
  readonly agreement: Agreement;
  /** How far apart: metres, or seconds. */
  readonly apart: number;
  /** The most that chance alone would do. */
  readonly most: number;
  /** The view, from 0, that something else speaks against as well; null where nothing tells. */
  readonly blamed: number | null;
  /** Whether left and right of its blades are exchanged in that frame of one view. */
  readonly exchanged: boolean;
}

/** What two views agree about, and what not. */
export interface Judgement {
  readonly good: readonly Agreement[];
  readonly faults: readonly Fault[];
  /** By pair of views whose whole ice differs. */
  readonly scales: readonly ScaleMisfit[];
}

/** Which agreements hold. A whole scale that is wrong is told before single points: it moves them all. */
export function judgeAgreements(joint: Joint, all: readonly Agreement[]): Judgement {
  const scales = pairsOf(all).flatMap((pair) => scaleMisfit(pair, all) ?? []);
  const offScale = (a: Agreement) =>
    a.what !== "time" && scales.some(({ views }) => views[0] === a.views[0] && views[1] === a.views[1]);
  const limit = (df: number) => chiSquareQuantile(1 - FALSE_ALARMS / Math.max(1, all.length), df);
  const isBeyond = ({ square, df }: ReturnType<typeof misfit>) => df > 0 && square > limit(df);
  const times = all.filter(({ what }) => what === "time");
  const badTimes = times.filter((a) => isBeyondPicks(joint, a) || isBeyond(misfit(a.judged)));
  // Of a skater under way a late pick moves a blade by decimetres, and both views' frames tell how late their picks are.
  const known = new Conditioning(
    times.filter((a) => !badTimes.includes(a)).flatMap(({ differences }) => differences),
  );
  const misfitOf = ({ what, judged }: Agreement) =>
    misfit(what === "time" ? judged : judged.map((d) => known.applied(d)));
  const bad = all.filter((a) =>
    a.what === "time" ? badTimes.includes(a) : !offScale(a) && isBeyond(misfitOf(a)),
  );
  const faults = bad.map((agreement): Fault => {
    const sizes = agreement.differences.map(({ value }) => value);
    const apart = Math.hypot(...sizes);
    const { square, df } = misfitOf(agreement);
    // In the direction in which they lie apart.
    const most = apart * Math.sqrt(Math.min(1, limit(df) / square));
    const exchanged = isExchanged(agreement, bad);
    return { agreement, apart, most, blamed: blame(joint, agreement), exchanged };
  });
  return { good: all.filter((a) => !bad.includes(a) && !offScale(a)), faults, scales };
}

function pairsOf(all: readonly Agreement[]): (readonly [number, number])[] {
  const keys = new Map(all.map(({ views }) => [views.join(), views] as const));
  return [...keys.values()];
}

/** The eye is a frame off at most now and then: beyond this of each view's frames it is another moment. */
const FRAMES_OFF = 1.75;

function isBeyondPicks({ views }: Joint, { differences, views: [a, b] }: Agreement): boolean {
  const reach = FRAMES_OFF * (views[a]!.trial.frameSeconds + views[b]!.trial.frameSeconds);
  return Math.abs(differences[0]!.value) > reach + views[a]!.tie.loose + views[b]!.tie.loose;
}

/** Both blades of a blade-off lie where the other one lies in the other view, within this, metres. */
const EXCHANGED_WITHIN = 0.3;

/** One view's left blade lies where the other view has the right one, and the other way round. */
function isExchanged(agreement: Agreement, bad: readonly Agreement[]): boolean {
  const { push, contact, views, places } = agreement;
  const other = bad.find(
    (b) =>
      b !== agreement &&
      b.push === push &&
      b.contact === contact &&
      b.what !== "time" &&
      b.views.join() === views.join(),
  );
  if (agreement.what === "time" || !places || !other?.places) return false;
  const near = (p: readonly [number, number], q: readonly [number, number]) =>
    Math.hypot(p[0] - q[0], p[1] - q[1]);
  const [[a, b], [c, d]] = [places, other.places];
  const crossed = Math.max(near(a, d), near(c, b));
  return crossed < EXCHANGED_WITHIN && crossed < Math.min(near(a, b), near(c, d)) / 2;
}

/** A runner that comes out so many standard deviations too long or short was marked wrongly; one within so many was not. */
const WRONG_RUNNER = 3.5;
const RIGHT_RUNNER = 2.5;

function blame(joint: Joint, { what, side, views, frames, push }: Agreement): number | null {
  const own = views.map((v, k) => speaksAgainst(joint.views[v]!, frames[k]!, what === "time" ? null : side));
  if (own[0] !== own[1]) return own[0] ? views[0] : views[1];
  if (what === "time") return unevenly(joint, push.stride, views);
  const odd = views.map((v, k) => runnerOdd(joint.views[v]!, frames[k]!, side));
  if (odd[0] === null || odd[1] === null) return null;
  if (odd[0]! > WRONG_RUNNER && odd[1]! < RIGHT_RUNNER) return views[0];
  if (odd[1]! > WRONG_RUNNER && odd[0]! < RIGHT_RUNNER) return views[1];
  return null;
}

/** Whether a view's own warnings say that its blades are not where they are marked in a frame. */
function speaksAgainst({ assessment }: View, frame: number, side: string | null): boolean {
  return assessment.readings.warnings.some(({ about }) =>
    about?.blades?.some((blade) => blade.frame === frame && (side === null || blade.side === side)),
  );
}

/** How unlike a runner a marked blade is, in standard deviations; null where it cannot be told. */
function runnerOdd({ trial }: View, frame: number, side: "left" | "right"): number | null {
  return had(() => {
    const [heel, toe] = (["blade_heel", "blade_toe"] as const).map((end) =>
      pointOnIce(trial, frame, side, end),
    );
    const [dx, dy] = (["x", "y"] as const).map((axis) =>
      weightedSum([
        [1, toe![axis]],
        [-1, heel![axis]],
      ]),
    );
    const long = Math.hypot(dx!.value, dy!.value);
    const u = Math.hypot(dx!.value * dx!.u, dy!.value * dy!.u) / long;
    return Math.abs(long - RUNNER.mean) / Math.hypot(u, RUNNER.u, HEEL_IN_THE_AIR);
  });
}

/** A heel that has left the ice is laid out along the view, metres. [judgement] */
const HEEL_IN_THE_AIR = 0.03;

/** A rhythm this many times more uneven in one view than in the other was picked wrongly there. */
const UNEVEN = 3;

/** Of two views that differ about a blade-off or blade-on, the one in which the strides around it are uneven. */
function unevenly({ views, pushes }: Joint, stride: number, pair: readonly [number, number]): number | null {
  const uneven = pair.map((v) => {
    const { trial } = views[v]!;
    const at = [stride - 1, stride, stride + 1].map((k) => pushes[k - 1]?.strides[v] ?? null);
    const [before, own, after] = at.map((s) => s && had(() => trial.eventTime(s, "blade_off").value));
    if (before == null || own == null || after == null) return null;
    return Math.abs(own - (before + after) / 2);
  });
  const [a, b] = uneven;
  if (a == null || b == null) return null;
  const least = Math.max(...pair.map((v) => views[v]!.trial.frameSeconds));
  if (a > UNEVEN * Math.max(b, least)) return pair[0];
  return b > UNEVEN * Math.max(a, least) ? pair[1] : null;
}
