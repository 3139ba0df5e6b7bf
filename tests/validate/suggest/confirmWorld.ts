import { blindAmong } from "../../../app/places/measure/sheet/sheetStrides.ts";
import { ClipEyes, type Remembered } from "../../../electron/suggest/lookAt.ts";
import type { PoseModels } from "../../../electron/suggest/poseModels.ts";
import { suggestFrom } from "../../../electron/suggest/suggestStudy.ts";
import { project } from "../../../sample-clips/make/camera.ts";
import type { Filmed } from "../../../sample-clips/make/happenings.ts";
import { sideName } from "../../../sample-clips/make/truth.ts";
import type { EventFrame, Mark, PointName, Side, TrialMarks } from "../../../src/study/types.ts";
import { startFrom } from "../../../src/suggest/followBody.ts";
import type { Suggestions } from "../../../src/suggest/suggestTrial.ts";
import { nearestEnough } from "../../helpers/nearestEnough.ts";
import { normal, seeded } from "../../helpers/random.ts";
import type { FilmedWorld } from "./filmWorld.ts";
import { piecesOf, uniqueMarks } from "./pieces.ts";
import { isInside, keyOf, placeOf, SAME_EVENT, type Wanted, wantedPoints, whereIs } from "./wanted.ts";

/*
 * Somebody who teaches two strides a side and then goes through the rest as on the stride sheet. Where everything is they
 * know from the renderer; their hand errs, and their eye sees what lies beside a point no better than half as well.
 */

/** SD of the hand, px per coordinate. */
export const HAND = { blade: 1, hip: 1.5 };
/** A piece that seems to lie farther off than this, px, is moved; as people in the window's own test do. */
const LOOKS_WRONG = { blade: 2, hip: 4 };
const EYE = 0.5;

export interface Went {
  readonly marks: TrialMarks;
  /** Suggested minus true frame of each blade-off and blade-on wanted; null = none was suggested. */
  readonly eventsOff: readonly (number | null)[];
  /** How far each blade end that was suggested on a true frame lies off, px; and those accepted. */
  readonly bladesOff: readonly number[];
  readonly acceptedOff: readonly number[];
  readonly hipsOff: readonly number[];
  /** Blade ends wanted. */
  readonly bladesWanted: number;
  readonly strides: number;
  readonly drags: number;
  /** The same, by what was dragged and why. */
  readonly dragsFor: ReadonlyMap<string, number>;
  /** Frames looked at. */
  readonly looked: number;
  readonly lost: number;
  /** The sentences of what was not suggested, each with how often. */
  readonly whys: ReadonlyMap<string, number>;
}

export interface Conditions {
  /** What the models saw of this clip before; it is added to. */
  readonly remembered?: Remembered;
  /** How many times as large the suggestions' own errors are, those that would be there without the hand's; absent = 1. */
  readonly errors?: number;
  /** First frame that is looked at; absent = 0. */
  readonly first?: number;
}

export async function confirmWorld(
  { world, jpeg }: FilmedWorld,
  models: PoseModels,
  seed: number,
  { remembered, errors = 1, first = 0 }: Conditions = {},
): Promise<Went> {
  const { clip, times } = world;
  const random = seeded(seed);
  const all: Wanted[] = world.happenings
    .filter((h) => h.event === "blade_off" || h.event === "blade_on" || h.event === "recovery_min")
    .map((h) => ({ ...h, side: sideName(h.sign) }))
    .filter((h) => h.frame > first + SAME_EVENT && isInside(world, h));
  const taught = taughtOf(world, all);
  const rest = inOrder(all, taught);
  const interval = 1 / clip.claimedFps;
  const hand = (h: Wanted, point: PointName, side: Side): Mark => {
    const { x, y } = placeOf(world, h.frame, point, side);
    const sd = point === "hip" ? HAND.hip : HAND.blade;
    return {
      ...{ frame: h.frame, time: h.frame * interval, point, side },
      xPx: x + sd * normal(random),
      yPx: y + sd * normal(random),
    };
  };
  const unerring = taught.flatMap((h) =>
    wantedPoints(h).map(([point, side]): Mark => {
      const { x, y } = placeOf(world, h.frame, point, side);
      return { frame: h.frame, time: h.frame * interval, point, side, xPx: x, yPx: y };
    }),
  );
  let events: EventFrame[] = taught.map((h) => eventOf(h, interval));
  let marks: Mark[] = uniqueMarks(taught.flatMap((h) => wantedPoints(h).map(([p, s]) => hand(h, p, s))));
  const picture = {
    clip: clip.name,
    ...{ width: clip.camera.width, height: clip.camera.height, frameInterval: interval },
  };
  const trial = (): TrialMarks => ({
    ...{ format: "blademark.marks", version: 1, trial: clip.name, picture, events, marks },
    iceReference: {
      kind: "ice-points",
      points: clip.marks.map((m) => {
        const { x, y } = project(clip.camera, [m.x, m.y, 0]);
        return {
          ...{ label: m.label, x: m.x, y: m.y },
          xPx: x + HAND.blade * normal(random),
          yPx: y + HAND.blade * normal(random),
        };
      }),
    },
  });
  const watched = new ClipEyes({ jpeg, models: async () => models }, remembered);
  const followed = await watched.follow({
    // From where she is, whatever the hand's errors, so that what was seen once serves again.
    start: startFrom(unerring)!,
    range: { first, last: times.length - 1 },
    onFrame: () => undefined,
    signal: new AbortController().signal,
  });
  // Frames of events are asked for again with every suggestion; decoded once here.
  const pictures = new Map<number, ReturnType<typeof followed.picture>>();
  const eyes = {
    ...followed,
    picture: (frame: number) => {
      const now = pictures.get(frame) ?? followed.picture(frame);
      pictures.set(frame, now);
      return now;
    },
  };
  const suggest = (more: readonly EventFrame[], exactly = false): Promise<Suggestions> =>
    suggestFrom(
      {
        ...trial(),
        events: [...events, ...more],
        ...(exactly ? { marks: marks.map((m) => ({ ...m, ...whereIs(world, m) })) } : {}),
      },
      { ...eyes, realInterval: interval },
    );
  /** Each suggestion as far again from where it would be without its own errors as `errors` says. */
  const worse = (found: Suggestions, exactly: Suggestions | null): Suggestions => ({
    ...found,
    points: found.points.map((p) => {
      if (!exactly) return p;
      const own = exactly.points.find((o) => keyOf(o) === keyOf(p)) ?? p;
      const is = whereIs(world, p);
      const more = errors - 1;
      return { ...p, xPx: p.xPx + more * (own.xPx - is.xPx), yPx: p.yPx + more * (own.yPx - is.yPx) };
    }),
  });
  const eventsOff: (number | null)[] = [];
  const [bladesOff, acceptedOff, hipsOff]: [number[], number[], number[]] = [[], [], []];
  const whys = new Map<string, number>();
  const dragsFor = new Map<string, number>();
  let [bladesWanted, number, checks] = [0, 0, 0];
  for (const exact of rest) {
    const free = await suggest([]);
    const by = nearest(free, exact);
    // Between blade-off and blade-on the blade is as near for several frames: any of them shows it.
    const h =
      exact.event === "recovery_min" && by !== null
        ? { ...exact, frame: nearestEnough(world, exact, exact.frame + by) }
        : exact;
    if (h.event !== "recovery_min") eventsOff.push(by);
    const event = eventOf(h, interval);
    const held = worse(await suggest([event]), errors > 1 ? await suggest([event], true) : null);
    const [blind] = blindAmong([h], { taken: number++, checks }, () => false);
    if (blind) checks++;
    for (const piece of piecesOf(wantedPoints(h), marks, h.frame)) {
      const kind = piece[0]![0] === "hip" ? "hip" : "blade";
      const points = piece.map(([point, side]) => {
        const is = placeOf(world, h.frame, point, side);
        const s = held.points.find((p) => p.frame === h.frame && p.point === point && p.side === side);
        const mark = hand(h, point, side);
        return { mark, s, off: s ? Math.hypot(s.xPx - is.x, s.yPx - is.y) : null, is };
      });
      const isSuggested = points.every((p) => p.s);
      if (kind === "blade") bladesWanted += points.length;
      if (isSuggested) (kind === "blade" ? bladesOff : hipsOff).push(...points.map((p) => p.off!));
      else note(whys, held, h, kind);
      // The eye errs as the hand does, half as much.
      const seemsWrong = points.some(
        ({ s, is, mark }) =>
          s &&
          Math.hypot(s.xPx - is.x - EYE * (mark.xPx - is.x), s.yPx - is.y - EYE * (mark.yPx - is.y)) >
            LOOKS_WRONG[kind],
      );
      const accepts = isSuggested && !blind && !seemsWrong;
      if (accepts && kind === "blade") acceptedOff.push(...points.map((p) => p.off!));
      if (!accepts) {
        const why = blind
          ? "blind"
          : !isSuggested
            ? "not suggested"
            : points.some((p) => p.off! > LOOKS_WRONG[kind])
              ? "moved"
              : "moved, though right";
        // Of the stride that is cut off by the clip's end nothing like it and as near was taught.
        const isWhole = all.some((o) => o.push === h.push && o.event === "blade_on");
        const what = `${kind} ${why}${isWhole || blind ? "" : " (cut off)"}`;
        // Moved as one or by one end, or drawn anew from end to end: one drag.
        dragsFor.set(what, (dragsFor.get(what) ?? 0) + 1);
      }
      for (const { mark, s } of points) {
        if (!s || !isSuggested) marks.push(mark);
        else
          marks.push({
            ...mark,
            ...(accepts ? { xPx: s.xPx, yPx: s.yPx } : {}),
            from: blind ? "hand" : accepts ? "accepted" : "moved",
            suggested: {
              ...{ xPx: s.xPx, yPx: s.yPx, uPx: s.uPx, by: s.from, model: held.model },
              templates: s.templates,
              ...(blind ? { blind } : {}),
            },
          });
      }
    }
    events = [...events, event];
    marks = uniqueMarks(marks);
  }
  const last = await suggest([]);
  for (const r of last.refused)
    if (r.what === "everything" || r.frame === undefined) whys.set(r.why, (whys.get(r.why) ?? 0) + 1);
  return {
    ...{ marks: trial(), eventsOff, bladesOff, acceptedOff, hipsOff, bladesWanted, dragsFor, whys },
    drags: [...dragsFor.values()].reduce((sum, n) => sum + n, 0),
    strides: rest.filter((h) => h.event === "blade_off").length,
    looked: times.length,
    lost: eyes.bodies.filter((b) => !b).length,
  };
}

const eventOf = (h: Wanted, interval: number): EventFrame => ({
  ...{ event: h.event, side: h.side, frame: h.frame, time: h.frame * interval },
});

/** Two strides a side where she is largest: nearest the camera. */
function taughtOf(world: Filmed, all: readonly Wanted[]): Wanted[] {
  const whole = all.filter(
    (h) => h.event === "blade_off" && all.some((o) => o.event === "blade_on" && o.push === h.push),
  );
  const large = (h: Wanted) => {
    const [a, b] = (["blade_heel", "hip"] as const).map((p) => placeOf(world, h.frame, p, h.side));
    return Math.abs(a!.y - b!.y);
  };
  const chosen = (["left", "right"] as const).flatMap((side) =>
    whole
      .filter((h) => h.side === side)
      .sort((a, b) => large(b) - large(a))
      .slice(0, 2),
  );
  return all.filter((h) => chosen.some((c) => c.push === h.push));
}

/** What is left, stride by stride from those taught outward, as the sheet has it: blade-off, blade-on, nearest between. */
function inOrder(all: readonly Wanted[], taught: readonly Wanted[]): Wanted[] {
  const known = taught.map((h) => h.push);
  const away = (h: Wanted) => Math.min(...known.map((k) => Math.abs(k - h.push)));
  const order = ["blade_off", "blade_on", "recovery_min"];
  return all
    .filter((h) => !known.includes(h.push))
    .sort((a, b) => away(a) - away(b) || b.push - a.push || order.indexOf(a.event) - order.indexOf(b.event));
}

function nearest({ events }: Suggestions, h: Wanted): number | null {
  const off = events
    .filter((e) => e.event === h.event && e.side === h.side)
    .map((e) => e.frame - h.frame)
    .sort((a, b) => Math.abs(a) - Math.abs(b))[0];
  return off === undefined || Math.abs(off) > SAME_EVENT ? null : off;
}

function note(whys: Map<string, number>, { refused }: Suggestions, h: Wanted, kind: "blade" | "hip"): void {
  const what = kind === "hip" ? "body" : "blades";
  const told = refused.find(
    (r) => r.what === "everything" || (r.what === what && (r.frame === h.frame || r.frame === undefined)),
  );
  const why = told?.why ?? `no ${kind} here, and nothing says why`;
  whys.set(why, (whys.get(why) ?? 0) + 1);
}
