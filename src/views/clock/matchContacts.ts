import { MeasureError } from "../../errors.ts";
import { median } from "../../statistics/median.ts";
import type { ShownContact, ShownContacts } from "./shownContacts.ts";

/** A contact that two views show. */
export interface Pair {
  /** In the view whose clock counts, and in the other one. */
  readonly a: ShownContact;
  readonly b: ShownContact;
}

/** One way to lay two views' contacts over each other. */
export interface Match {
  /** What is added to the second view's times to give the first one's, seconds: about. */
  readonly offset: number;
  readonly pairs: readonly Pair[];
  readonly score: number;
  /** How far apart the two views put what they share, metres; null where they do not tell. */
  readonly between: number | null;
}

/** Whoever picks a frame is one off now and then: two contacts farther apart than so many frames of each view are not the same pick. */
const FRAMES_OFF = 1.75;

/*
 * How much a way of laying the contacts over each other is to be believed, in logs of likelihood. [judgement: orders of
 * magnitude; what must come out is in tests/views/matchContacts.test.ts]
 */
/** For each contact that both show, before how well its times agree. */
const SHARED = 1;
/** For each that one view shows while the other one was being picked, and does not show. */
const MISSING = -4;
/** For one that is called left in one view and right in the other, where the one before it is not: whole pushes are exchanged. */
const OTHER_SIDE = -3;
const OTHER_SIDE_TOO = -1;
/** For each that only one view shows: whoever marks two clips of a trial marks the same stretch. Only where places tell as well. */
const UNSHARED = -0.6;
/** Places of all contacts together agree to about this, metres, also where a scale is some percent off: a stride is 5 m. */
const PLACE_SD = 0.85;
const PLACE_MOST = 50;
/** A way that is less believable than the best by no more than this is as good. */
export const AS_GOOD = 5;
/** Ways that lie nearer than this are the same, seconds: strides take longer. */
const SAME_WAY = 0.12;
/** Of the contacts both views show, at least so many. */
const LEAST = 2;

/**
 * Which contacts of two views are the same, without knowing how their clocks lie: every offset that brings two contacts
 * of one kind together is tried, and the most believable taken. Sides, order, irregularities of the rhythm and, where both
 * views have a scale, the places on the ice tell one stride from the next.
 *
 * @throws {MeasureError} `views-not-tied` where fewer than two are shared, or two ways are about as good
 */
export function matchContacts(a: ShownContacts, b: ShownContacts, view: number): Match {
  return likeliestWay(waysToMatch(a, b), a, b, view);
}

/** Every way to lay the contacts over each other, in order of belief. */
export function waysToMatch(a: ShownContacts, b: ShownContacts): Match[] {
  const offsets = a.contacts.flatMap((p) =>
    b.contacts.filter((q) => q.event === p.event).map((q) => p.time - q.time),
  );
  return distinct(offsets.map((offset) => settled(a, b, offset)));
}

/** The way at exactly this offset, seconds. */
export function wayAt(a: ShownContacts, b: ShownContacts, offset: number): Match {
  return paired(a, b, offset);
}

/** Of some ways, in order of belief, the one to take. @throws {MeasureError} as `matchContacts` */
export function likeliestWay(
  ways: readonly Match[],
  ...[a, b, view]: readonly [ShownContacts, ShownContacts, number]
): Match {
  const best = ways.find(({ pairs }) => pairs.length >= LEAST);
  if (!best) throw tooFew(a, b, ways[0]?.pairs.length ?? 0, view);
  const rival = ways.find(
    (way) =>
      Math.abs(way.offset - best.offset) > SAME_WAY && way.pairs.length >= LEAST && !placesTell(best, way),
  );
  if (rival && rival.score > best.score - AS_GOOD) throw ambiguous(best, rival, view);
  return best;
}

/** Another way whose places lie so much farther apart than those of the best is not the right one, metres. */
const PLACES_TELL = 1.5;

function placesTell({ between: near }: Match, { between: far }: Match): boolean {
  return near !== null && far !== null && far - near > PLACES_TELL && far > 2 * near;
}

/** Ways in order of belief, each once. */
function distinct(ways: readonly Match[]): Match[] {
  const sorted = ways.slice().sort((p, q) => q.score - p.score || p.offset - q.offset);
  return sorted.filter((way, k) => sorted.findIndex((w) => Math.abs(w.offset - way.offset) < 1e-9) === k);
}

/** The way near an offset, moved to the middle of what its pairs say. */
function settled(a: ShownContacts, b: ShownContacts, offset: number): Match {
  let match = paired(a, b, offset);
  for (let round = 0; round < 2; round++) {
    if (match.pairs.length === 0) return match;
    const middle = median(match.pairs.map((pair) => pair.a.time - pair.b.time));
    match = paired(a, b, middle);
  }
  return match;
}

/** How far two picks of one contact may lie apart, seconds. */
export function reachOf(a: ShownContacts, b: ShownContacts): number {
  return FRAMES_OFF * (a.frameSeconds + b.frameSeconds);
}

function paired(a: ShownContacts, b: ShownContacts, offset: number): Match {
  const reach = reachOf(a, b);
  const near = a.contacts.flatMap((p) =>
    b.contacts.flatMap((q) => {
      const apart = p.time - q.time - offset;
      return p.event === q.event && Math.abs(apart) <= reach ? [{ a: p, b: q, apart }] : [];
    }),
  );
  near.sort((p, q) => rank(p) - rank(q));
  const taken = new Set<ShownContact>();
  const pairs = near.filter((pair) => {
    if (taken.has(pair.a) || taken.has(pair.b)) return false;
    taken.add(pair.a).add(pair.b);
    return true;
  });
  const variance = a.sd ** 2 + b.sd ** 2;
  let score = 0;
  const inOrder = pairs.slice().sort((p, q) => p.a.time - q.a.time);
  inOrder.forEach(({ a: p, b: q, apart }, k) => {
    const before = inOrder[k - 1];
    const isFirst = before === undefined || before.a.side === before.b.side;
    score += SHARED - apart ** 2 / variance / 2;
    if (p.side !== q.side) score += isFirst ? OTHER_SIDE : OTHER_SIDE_TOO;
  });
  const between = placesBetween(pairs) ?? waysBetween(a, b, pairs);
  if (between !== null) score += UNSHARED * (a.contacts.length + b.contacts.length - 2 * pairs.length);
  score -= placesApart(between);
  score += MISSING * (missing(a, b, offset, taken) + missing(b, a, -offset, taken));
  return { offset, pairs, score, between };
}

/** Same sides first, then the nearest. */
function rank({
  a,
  b,
  apart,
}: {
  readonly a: ShownContact;
  readonly b: ShownContact;
  readonly apart: number;
}): number {
  return (a.side === b.side ? 0 : 1) + Math.abs(apart);
}

/** Counted once: a wrong scale moves all places alike. */
function placesApart(between: number | null): number {
  return between === null ? 0 : Math.min(PLACE_MOST, (between / PLACE_SD) ** 2 / 2);
}

/** How far apart the two views put the same contacts, metres, in the middle of them; null where none has two places. */
function placesBetween(pairs: readonly Pair[]): number | null {
  const apart = pairs.flatMap(({ a: { place: p }, b: { place: q } }) =>
    p && q ? [Math.hypot(p.x - q.x, p.y - q.y)] : [],
  );
  return apart.length === 0 ? null : median(apart);
}

/** So long before and after a view's places its way is held to go on, seconds: a skater who starts gains 2 m/s in it. [judgement] */
const GOES_ON = 0.5;

/**
 * How far apart the ways of the skater through both views' places are when a pair that lacks one of its own was, metres, in the
 * middle of such pairs; null where no such moment is near places of both.
 */
function waysBetween(a: ShownContacts, b: ShownContacts, pairs: readonly Pair[]): number | null {
  const apart = pairs.flatMap((pair) => {
    const [p, q] = [wayAlong(a, pair.a.time), wayAlong(b, pair.b.time)];
    return p && q ? [Math.hypot(p.x - q.x, p.y - q.y)] : [];
  });
  return apart.length === 0 ? null : median(apart);
}

/** About where the skater was at a moment, in a straight line through the two nearest blade-offs or blade-ons with a place. */
function wayAlong(
  { contacts }: ShownContacts,
  time: number,
): { readonly x: number; readonly y: number } | null {
  const near = contacts
    .flatMap((c) => (c.place ? [{ time: c.time, place: c.place, away: Math.abs(c.time - time) }] : []))
    .sort((p, q) => p.away - q.away);
  const [first] = near;
  // Of two at about one moment each is another foot's.
  const second = near.find((c) => first && Math.abs(c.time - first.time) > SAME_WAY);
  if (!first || !second || first.away > GOES_ON) return null;
  const share = (time - first.time) / (second.time - first.time);
  return {
    x: first.place.x + share * (second.place.x - first.place.x),
    y: first.place.y + share * (second.place.y - first.place.y),
  };
}

/** Contacts of `own` that fall well within what was picked in `other`, without a partner. */
function missing(
  own: ShownContacts,
  other: ShownContacts,
  offset: number,
  taken: ReadonlySet<ShownContact>,
): number {
  const [first, last] = [other.contacts[0], other.contacts[other.contacts.length - 1]];
  if (!first || !last) return 0;
  const reach = reachOf(own, other);
  const within = (t: number) => t > first.time + offset + reach && t < last.time + offset - reach;
  return own.contacts.filter((c) => !taken.has(c) && within(c.time)).length;
}

function tooFew(a: ShownContacts, b: ShownContacts, shared: number, view: number): MeasureError {
  const bare = [a, b].findIndex(({ contacts }) => contacts.length === 0);
  if (bare >= 0)
    return new MeasureError(
      "views-not-tied",
      `matchContacts requires contacts in both views; view ${bare === 0 ? 1 : view} has none`,
      `View ${view} can't be tied to view 1: no blade-off and no blade-on is picked in view ${bare === 0 ? 1 : view}. Pick two there that view ${bare === 0 ? view : 1} shows as well.`,
      { view, shared },
    );
  const pace = paceOf(b) !== null && paceOf(a) !== null ? paceOf(b)! / paceOf(a)! : null;
  const times = pace === null ? null : pace > 1.35 ? pace : pace < 0.74 ? 1 / pace : null;
  const hint =
    times === null
      ? "Check that both clips show the same skate, and pick the same blade-offs and blade-ons in both."
      : `Its strides take ${times.toFixed(2)} times ${pace! > 1 ? "as long as" : "less time than"} those of view 1: check speed-factor and the times of its frames.`;
  return new MeasureError(
    "views-not-tied",
    `matchContacts requires two contacts that both views show; view ${view} shares ${shared} with view 1`,
    `View ${view} can't be tied to view 1: ${shared === 0 ? "no event" : "only one event"} fits in both, and two are needed. ${hint}`,
    { view, shared },
  );
}

/** Middle time from one blade-off to the next, seconds; null with fewer than three. */
function paceOf({ contacts }: ShownContacts): number | null {
  const offs = contacts.filter((c) => c.event === "blade_off");
  const gaps = offs.slice(1).map((off, k) => off.time - offs[k]!.time);
  return gaps.length < 2 ? null : median(gaps);
}

function ambiguous(best: Match, rival: Match, view: number): MeasureError {
  const seconds = (way: Match) => `${way.offset.toFixed(2)} s`;
  return new MeasureError(
    "views-not-tied",
    `matchContacts requires one way to lay the contacts over each other; view ${view} fits at ${best.offset} s and at ${rival.offset} s`,
    `View ${view} can't be tied to view 1: its events fit about as well with ${seconds(best)} added to its clock (${best.pairs.length} shared) as with ${seconds(rival)} (${rival.pairs.length}), as the strides are so even. Pick one event more that tells the strides apart, such as the first blade-off of all, or give both views a scale of the ice.`,
    { view, offsets: [best.offset, rival.offset] },
  );
}
