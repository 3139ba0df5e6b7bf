import { MeasureError } from "../../errors.ts";
import type { Warning } from "../../reading.ts";
import { AS_GOOD, likeliestWay, type Match, wayAt, waysToMatch } from "../clock/matchContacts.ts";
import type { KnownClock } from "../clock/saidClock.ts";
import type { ShownContacts } from "../clock/shownContacts.ts";
import { type HeardClock, isAsHeard, tellsStrides } from "./heardClock.ts";

/** A clock known by sound or by word, or why it is not. */
export type Known = KnownClock | HeardClock | { readonly offset: null; readonly why: string };

/** Which contacts are the same, and what the sound or somebody's word does for it. */
export interface HeardMatch {
  readonly match: Match;
  /** What of it counts for the tie; null where there is none, or it speaks against the events. */
  readonly counts: KnownClock | null;
  readonly warnings: readonly Warning[];
}

/**
 * As `matchContacts`, where both clips' sound, or what was said of the clocks, may tell what the events leave open: which strides are the same where they are even, and
 * about how the clocks lie where fewer than two events are shared. Where events tell for themselves it is held against them.
 *
 * @throws {MeasureError} `views-not-tied` where neither tells
 */
export function matchHeard(
  a: ShownContacts,
  b: ShownContacts,
  view: number,
  heard: Known | null,
): HeardMatch {
  const ways = waysToMatch(a, b);
  const byEvents = attempt(() => likeliestWay(ways, a, b, view));
  if (heard === null || heard.offset === null) {
    if (byEvents instanceof MeasureError) throw heard ? neither(byEvents, heard.why, "sound") : byEvents;
    return { match: byEvents, counts: null, warnings: [] };
  }
  const both = (match: Match): HeardMatch => ({ match, counts: heard, warnings: [] });
  const fit = ways.filter((way) =>
    isAsHeard({ offset: way.offset, at: middleOf(way), u: middleSd(a, b, way) }, heard),
  );
  if (!(byEvents instanceof MeasureError)) {
    if (fit.includes(byEvents)) return both(byEvents);
    const other = attempt(() => asHeard(fit, [a, b, view], heard));
    // Few events fit anywhere.
    if (!(other instanceof MeasureError) && other.score > byEvents.score - AS_GOOD) return both(other);
    return { match: byEvents, counts: null, warnings: [unlike(byEvents, heard, view)] };
  }
  const told = attempt(() => asHeard(fit, [a, b, view], heard));
  if (told instanceof MeasureError) throw neither(byEvents, told.coach, heard.by);
  return both(told);
}

/** Of the ways that are as heard the one to take, be it without any event. @throws {MeasureError} where there are two */
function asHeard(
  fit: readonly Match[],
  views: readonly [ShownContacts, ShownContacts, number],
  heard: KnownClock,
): Match {
  if (fit.some(({ pairs }) => pairs.length > 1)) {
    const several = attempt(() => likeliestWay(fit, ...views));
    if (!(several instanceof MeasureError)) return several;
    throw tooWide(heard);
  }
  if (!tellsStrides(heard)) throw tooWide(heard);
  // One contact of one foot: the next of its kind is two strides away, and the sound tells those apart.
  const [single] = fit.filter(({ pairs }) => pairs.length === 1 && pairs[0]!.a.side === pairs[0]!.b.side);
  return single ?? { ...wayAt(views[0], views[1], heard.offset), pairs: [] };
}

function tooWide(known: KnownClock): MeasureError {
  const { u } = known;
  const why =
    (known as Partial<HeardClock>).placesKnown === false ? ", as a camera's place is not known" : "";
  return new MeasureError(
    "views-not-tied",
    `asHeard requires a sound that tells strides apart; u is ${u} s`,
    `it places the clocks only to ± ${seconds(2 * u)}${why}`,
  );
}

function attempt<T>(find: () => T): T | MeasureError {
  try {
    return find();
  } catch (error) {
    if (error instanceof MeasureError) return error;
    throw error;
  }
}

function middleOf({ pairs }: Match): number {
  return pairs.reduce((sum, { b }) => sum + b.time, 0) / Math.max(1, pairs.length);
}

/** Of the middle of some normal values, over that of their mean (Kendall and Stuart 1, from memory). */
const OF_MIDDLE = Math.sqrt(Math.PI / 2);

/** Standard uncertainty of a way's offset, seconds: the middle of what its pairs say. */
function middleSd(a: ShownContacts, b: ShownContacts, { pairs }: Match): number {
  return (OF_MIDDLE * Math.hypot(a.sd, b.sd)) / Math.sqrt(Math.max(1, pairs.length));
}

const seconds = (s: number) => `${s.toFixed(2)} s`;

const WHO = { sound: "The clips' sound", said: "The offset that was given" } as const;

function neither(error: MeasureError, why: string, by: KnownClock["by"]): MeasureError {
  return new MeasureError(
    error.code,
    error.message,
    `${error.coach} ${WHO[by]} does not tell either: ${why}.`,
    error.data,
  );
}

function unlike({ offset, pairs }: Match, heard: KnownClock, view: number): Warning {
  const events = `their ${pairs.length} shared events with ${seconds(offset)}: that is more than chance does. The events count`;
  const check = "Check that both clips show the same skate, and that no view's events are a stride off.";
  if (heard.by === "said")
    return {
      code: "offset-unlike-events",
      text: `Views 1 and ${view} were said to go together with ${seconds(heard.offset)} added to the clock of view ${view} (± ${seconds(2 * heard.u)}), and do by ${events}, and what was said is not used. ${check}`,
    };
  return {
    code: "sound-unlike-events",
    text: `The sound of views 1 and ${view} goes together with ${seconds(heard.offset)} added to the clock of view ${view} (± ${seconds(2 * heard.u)}), ${events}, and the sound is not used. ${check}`,
  };
}
