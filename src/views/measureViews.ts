import { MeasureError } from "../errors.ts";
import { type Assessment, assessTrial } from "../kinematics/measureTrial.ts";
import { strideOrder } from "../kinematics/trial/strideOrder.ts";
import type { MeasureInput } from "../kinematics/types.ts";
import type { Mark } from "../study/types.ts";
import { EVENT_SD_FRAMES, eventShape } from "../time/eventTime.ts";
import { realSeconds } from "../time/speedFactor.ts";
import { exactly, Sources, type Uncertain } from "../uncertainty/uncertain.ts";
import { withoutExchanged } from "./clock/exchangedSides.ts";
import type { Match } from "./clock/matchContacts.ts";
import { type KnownClock, type SaidOffset, saidClock, saidSummary } from "./clock/saidClock.ts";
import { type ShownContact, type ShownContacts, shownContacts } from "./clock/shownContacts.ts";
import { type ClockTie, FIRST_CLOCK, tieClock } from "./clock/tieClock.ts";
import { extremesOf, momentNames, pushesOf, type TimedView } from "./joint/pushes.ts";
import { type Joint, OwnSources, type View } from "./joint/view.ts";
import { jointReadings } from "./jointReadings.ts";
import { AS_HEARD, heardClock } from "./sound/heardClock.ts";
import { matchHeard } from "./sound/matchHeard.ts";
import type { LagFound } from "./sound/soundLag.ts";
import { soundSummary } from "./sound/soundSummary.ts";
import type { ViewSummary, ViewsReadings } from "./types.ts";

/**
 * Two or more views of one trial as one measurement: their clocks tied by events that both show, points marked in several
 * views found by all their rays, every quantity as sure as all views together make it.
 *
 * @param given one a view; the first one's clock counts
 * @param lags by view, how its clip's sound lies to the first one's (the first's own is not looked at); null = nobody listened
 * @param said by view, how its clock lies to the first one's where that is known otherwise; it goes before the sound. null = nobody said
 * @throws {MeasureError} `views-not-tied` where a view shares fewer than two events with the first or fits it in two ways and no
 *   sound tells, `one-view`, and as `measureTrial`
 */
export function measureViews(
  given: readonly MeasureInput[],
  lags: readonly (LagFound | null)[] = [],
  said: readonly (SaidOffset | null)[] = [],
): ViewsReadings {
  if (given.length < 2) {
    throw new MeasureError(
      "one-view",
      `measureViews requires two views or more; got ${given.length}`,
      "One view alone is measured by its tables; give two or more.",
    );
  }
  needsEachItsOwn(given);
  const shown = given.map((input, v) => shownContacts(input, v + 1));
  const listeners = given.map(({ speedFactor }, v) => ({ speedFactor, camera: shown[v]!.camera }));
  const heard = given.map((_, v) =>
    v === 0 ? null : heardClock(lags[v] ?? null, listeners[0]!, listeners[v]!),
  );
  const word = shown.map((own, v) => (v > 0 && said[v] ? saidClock(said[v], own) : null));
  const matched = shown
    .slice(1)
    .map((other, k) => matchHeard(shown[0]!, other, k + 2, word[k + 1] ?? heard[k + 1]!));
  const matches = matched.map(({ match }) => match);
  const { inputs, warnings } = withoutExchanged(given, shown, matches);
  const timed = inputs.map((input, v) => timedView(input, v === 0 ? 0 : matches[v - 1]!.offset, shown[v]!));
  const pushes = pushesOf(timed);
  const names = momentNames(timed, pushes);
  const sources = new Sources();
  const shared = new Map<string, Uncertain>();
  const owned = inputs.map(() => new Set<number>());
  const assessments = inputs.map((input, v) =>
    assessTrial(input, {
      together: {
        sources: new OwnSources(sources, owned[v]!),
        causes: (what, frame) => {
          const name = frame === null ? "" : (names[v]!.get(frame) ?? `frame ${frame} of view ${v + 1}`);
          const key = `${what}, ${name}`;
          const known = shared.get(key) ?? sources.add(0, 1);
          shared.set(key, known);
          return known;
        },
      },
    }),
  );
  const views = assessments.map(
    (assessment, v): View => ({
      index: v,
      assessment,
      trial: assessment.trial,
      tie:
        v === 0
          ? FIRST_CLOCK
          : tieOf([assessments[0]!, assessment], matches[v - 1]!, matched[v - 1]!.counts, v + 1),
      names: names[v]!,
    }),
  );
  const joint: Joint = { views, pushes, sources };
  const readings = jointReadings(joint, owned, extremesOf(timed));
  for (const { trial } of views) trial.letGo();
  const all = [...matched.flatMap((m) => m.warnings), ...warnings, ...readings.readings.warnings];
  return {
    readings: { ...readings.readings, warnings: all },
    views: readings.views.map((view, v): ViewSummary => {
      const [sound, own] = [heard[v], word[v]];
      if (!sound && !own) return view;
      const { match, counts } = matched[v - 1]!;
      const events = ofOneSide(match).length;
      return {
        ...view,
        ...(sound && { sound: soundSummary(sound, counts?.by === "sound", events) }),
        ...(own && { said: saidSummary(own, counts !== null, events) }),
      };
    }),
  };
}

/**
 * Two views with the very same marks are one view given twice: together they would seem surer than it is.
 *
 * @throws {MeasureError} `views-not-tied`
 */
function needsEachItsOwn(given: readonly MeasureInput[]): void {
  const keys = given.map(({ marks }) => marks.map(keyOf).sort().join());
  keys.forEach((key, v) => {
    const same = keys.indexOf(key);
    if (same === v || given[v]!.marks.length === 0) return;
    throw new MeasureError(
      "views-not-tied",
      `measureViews requires views with marks of their own; view ${v + 1} has those of view ${same + 1}`,
      `View ${v + 1} has the very marks of view ${same + 1}, to the last digit: it is one view given twice, and adds nothing. Give the marks of the other camera.`,
      { view: v + 1 },
    );
  });
}

const keyOf = ({ frame, point, side, xPx, yPx }: Mark) => `${frame} ${side} ${point} ${xPx} ${yPx}`;

function timedView(input: MeasureInput, offset: number, { frameSeconds }: ShownContacts): TimedView {
  return {
    strides: strideOrder(input.events),
    events: input.events,
    secondsOf: ({ time }) => realSeconds(time, input.speedFactor) + offset,
    frameSeconds,
  };
}

/** Contacts that both call by the same side. */
function ofOneSide({ pairs }: Match): Match["pairs"] {
  return pairs.filter(({ a, b }) => a.side === b.side);
}

/**
 * By the contacts that both call by the same side, and by what both hear or was said.
 *
 * @throws {MeasureError} `views-not-tied` with fewer than two contacts and neither
 */
function tieOf(
  [first, other]: readonly [Assessment, Assessment],
  match: Match,
  heard: KnownClock | null,
  view: number,
): ClockTie {
  const same = ofOneSide(match);
  if (same.length < 2 && !heard) {
    throw new MeasureError(
      "views-not-tied",
      `tieOf requires two contacts of one side; view ${view} shares ${same.length} with view 1`,
      `View ${view} can't be tied to view 1: what it calls the left blade the other calls the right one. Check the sides of its events.`,
      { view },
    );
  }
  const { sources } = other.trial;
  const moments = same.map(({ a, b }) => ({ first: momentOf(first, a), own: momentOf(other, b) }));
  if (!heard) return tieClock(moments, sources);
  const { at, offset, u, rate } = heard;
  const tie = tieClock([...moments, { first: sources.add(at + offset, u), own: exactly(at) }], sources, rate);
  return same.length === 0 ? { ...tie, loose: AS_HEARD * u } : tie;
}

/** When a contact was, as the view's own strides know it. */
function momentOf({ trial }: Assessment, { event, side, frame, time }: ShownContact): Uncertain {
  const stride = trial.strides.find(
    (s) => s.side === side && (event === "blade_off" ? s.off : s.on)?.frame === frame,
  );
  // A blade that comes down before the first blade-off belongs to no stride.
  return stride
    ? trial.eventTime(stride, event)
    : trial.sources.add(time, EVENT_SD_FRAMES * trial.frameSeconds, eventShape(trial.sources.count));
}
