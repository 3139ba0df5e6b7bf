import type { Ground, UncertainMark, UncertainPlace } from "../ice/ground.ts";
import { distanceOutside } from "../ice/hull.ts";
import { sameSpot } from "../marks/checkBlades.ts";
import type { MarkTable } from "../marks/markTable.ts";
import { pointWords } from "../marks/pointWords.ts";
import type { Body, PointName, Side } from "../study/types.ts";
import { EVENT_OFFSET_FRAMES, EVENT_SD_FRAMES, EVENT_SHAPE } from "../time/eventTime.ts";
import { realSeconds } from "../time/speedFactor.ts";
import {
  calculation,
  condensed,
  deriveOne,
  exactly,
  itself,
  linearised,
  type Sources,
  type Uncertain,
  weightedSum,
} from "../uncertainty/uncertain.ts";
import { distance, otherSide } from "./across.ts";
import { LIFT_OFF, LIFT_ON, OUTSIDE_HULL, type Prior, WEAVE } from "./priors.ts";
import type { StrideEvents } from "./strideOrder.ts";
import { Unmeasurable } from "./unmeasurable.ts";

/** A straight line on the ice through two places: the travel, from `from` to `to`. */
export interface TravelLine {
  /** Tells lines apart. */
  readonly name: string;
  readonly from: UncertainPlace;
  readonly to: UncertainPlace;
  /** The other blade's stride between the two. */
  readonly middle: StrideEvents;
  /** Real seconds at which the blades left these two places. */
  readonly seconds: readonly [Uncertain, Uncertain];
}

/** Two blade-offs of one blade nearer than this give no direction of travel, metres. */
const SHORTEST_LINE = 0.5;

export type Contact = "blade_off" | "blade_on";

/**
 * What all quantities of one trial share: where the blades are, when the events were, which way the skater
 * goes. Everything is remembered, so that two quantities that use a mark use the same source of error.
 * Methods throw `Unmeasurable` where something is missing.
 */
export class TrialGeometry {
  readonly strides: readonly StrideEvents[];
  readonly sources: Sources;
  readonly body: Body;
  readonly speedFactor: number;
  private readonly marks: MarkTable;
  private readonly groundOrWhy: Ground | string;
  /** Real seconds between frames; null when the clip's times do not tell. */
  readonly interval: number | null;
  private readonly remembered = new Map<string | object, unknown>();
  /** Places used that lie outside the ice reference: key → metres outside. */
  readonly outside = new Map<
    string,
    { readonly frame: number; readonly side: Side; readonly distance: number }
  >();

  constructor(from: {
    readonly strides: readonly StrideEvents[];
    readonly sources: Sources;
    readonly marks: MarkTable;
    readonly body: Body;
    readonly ground: Ground | string;
    readonly clipInterval: number | null;
    readonly speedFactor: number;
  }) {
    this.strides = from.strides;
    this.sources = from.sources;
    this.marks = from.marks;
    this.body = from.body;
    this.groundOrWhy = from.ground;
    this.speedFactor = from.speedFactor;
    this.interval = from.clipInterval === null ? null : realSeconds(from.clipInterval, from.speedFactor);
  }

  get ground(): Ground {
    if (typeof this.groundOrWhy === "string") throw new Unmeasurable(this.groundOrWhy);
    return this.groundOrWhy;
  }

  get frameSeconds(): number {
    if (this.interval === null) {
      throw new Unmeasurable("The time between frames is not known: only one frame of the clip has a time.");
    }
    return this.interval;
  }

  /** Stride number `n` counted from 1, if there is one. */
  stride(n: number): StrideEvents | undefined {
    return this.strides[n - 1];
  }

  /** The strides before, at and after `n`, when the feet take turns. */
  threeInTurn(n: number): [StrideEvents, StrideEvents, StrideEvents] {
    const at = this.strides[n - 1]!;
    const before = this.stride(n - 1);
    const after = this.stride(n + 1);
    if (!before) throw new Unmeasurable("The first stride has no blade-off before it.");
    if (!after) throw new Unmeasurable("The last stride has no blade-off after it.");
    for (const [a, b] of [
      [before, at],
      [at, after],
    ] as const) {
      if (a.side === b.side) throw new Unmeasurable(sameSideTwice(a));
    }
    return [before, at, after];
  }

  /** Real seconds from the middle of the picked frame to the event, with the event's own doubt. */
  eventDelay(stride: StrideEvents, contact: Contact): Uncertain {
    return this.remember(`delay ${contact} ${stride.stride}`, () =>
      this.sources.add(
        EVENT_OFFSET_FRAMES[contact] * this.frameSeconds,
        EVENT_SD_FRAMES * this.frameSeconds,
        EVENT_SHAPE,
      ),
    );
  }

  /** Real seconds of the clip at which the event happened. */
  eventTime(stride: StrideEvents, contact: Contact): Uncertain {
    const event = contact === "blade_off" ? stride.off : stride.on;
    if (!event) throw new Unmeasurable(noBladeOn(stride));
    const picked = exactly(realSeconds(event.time, this.speedFactor));
    return weightedSum([
      [1, picked],
      [1, this.eventDelay(stride, contact)],
    ]);
  }

  /** Blade point (middle of heel and toe) of the stride's own blade in the frame of an event. */
  bladeAt(stride: StrideEvents, contact: Contact): UncertainPlace {
    const event = contact === "blade_off" ? stride.off : stride.on;
    if (!event) throw new Unmeasurable(noBladeOn(stride));
    return this.remember(`blade ${contact} ${stride.stride}`, () => {
      const onIce = this.bladeOnIce(event.frame, stride.side);
      const { x, y } = this.lifted(onIce, contact === "blade_off" ? LIFT_OFF : LIFT_ON, event.frame);
      return { x: condensed(x), y: condensed(y) };
    });
  }

  /** Blade point of a blade that is on the ice in this frame. */
  bladeOnIce(frame: number, side: Side): UncertainPlace {
    return this.remember(`ice ${frame} ${side}`, () => {
      this.refuseDot(frame, side);
      const heel = this.pointOnIce(frame, side, "blade_heel");
      const toe = this.pointOnIce(frame, side, "blade_toe");
      const middle = {
        x: weightedSum([
          [0.5, heel.x],
          [0.5, toe.x],
        ]),
        y: weightedSum([
          [0.5, heel.y],
          [0.5, toe.y],
        ]),
      };
      return this.widenedOutside(middle, frame, side);
    });
  }

  private refuseDot(frame: number, side: Side): void {
    const [heel, toe] = [this.marks.get(frame, side, "blade_heel"), this.marks.get(frame, side, "blade_toe")];
    if (!heel || !toe || !sameSpot(heel, toe)) return;
    throw new Unmeasurable(
      `The ${side} blade's heel and toe ends are marked on the same spot in frame ${frame}. Mark both ends of the runner.`,
    );
  }

  isBladeMarked(frame: number, side: Side): boolean {
    return this.marks.has(frame, side, "blade_heel") && this.marks.has(frame, side, "blade_toe");
  }

  /** The same, or null where it is not marked or not on the ice. */
  tryPlace(frame: number, side: Side): UncertainPlace | null {
    try {
      return this.bladeOnIce(frame, side);
    } catch (error) {
      if (error instanceof Unmeasurable) return null;
      throw error;
    }
  }

  /** The straight line through two blade-off points, with the direction of travel. */
  lineThrough(from: StrideEvents, middle: StrideEvents, to: StrideEvents): TravelLine {
    const line = {
      name: `${from.stride}-${to.stride}`,
      from: this.bladeAt(from, "blade_off"),
      to: this.bladeAt(to, "blade_off"),
      middle,
      seconds: [this.eventTime(from, "blade_off"), this.eventTime(to, "blade_off")],
    } as const;
    const [dx, dy] = [line.to.x.value - line.from.x.value, line.to.y.value - line.from.y.value];
    if (!(Math.hypot(dx, dy) > SHORTEST_LINE)) {
      throw new Unmeasurable(
        `The ${from.side} blade leaves the ice in frames ${from.off.frame} and ${to.off.frame} at nearly the same place, so the direction of travel can't be told. Check the blade's marks there.`,
      );
    }
    const { acrossWhy, mostHeadingDeg } = this.ground;
    if (acrossWhy) throw new Unmeasurable(acrossWhy);
    if (mostHeadingDeg !== null) {
      const rise = line.to.y.value - line.from.y.value;
      const heading = (180 / Math.PI) * Math.atan(Math.abs(rise / (line.to.x.value - line.from.x.value)));
      if (heading > mostHeadingDeg) {
        throw new Unmeasurable(
          "The skater crosses the view instead of going along it, and known lengths then give no widths. Film from behind the start or facing from the finish, or give ice points.",
        );
      }
    }
    return line;
  }

  /** Refuses what compares places of several frames where the scale holds within one frame only. */
  needBetweenFrames(): void {
    if (this.ground.betweenFramesWhy) throw new Unmeasurable(this.ground.betweenFramesWhy);
  }

  /**
   * The line of travel for stride `n`: through the other blade's blade-offs before and after; at the ends of
   * a trial through this blade's own next or previous ones.
   */
  travelLine(n: number): TravelLine {
    const pairs: readonly (readonly [number, number])[] = [
      [n - 1, n + 1],
      [n, n + 2],
      [n - 2, n],
    ];
    let why = "The direction of travel needs two blade-offs of the same blade, next to this stride.";
    for (const [a, b] of pairs) {
      const [from, middle, to] = [this.stride(a), this.stride(a + 1), this.stride(b)];
      if (!from || !middle || !to || from.side !== to.side || middle.side === from.side) continue;
      try {
        const line = this.lineThrough(from, middle, to);
        return middle.stride === n ? line : this.turned(line, n);
      } catch (error) {
        if (!(error instanceof Unmeasurable)) throw error;
        why = error.why;
      }
    }
    throw new Unmeasurable(why);
  }

  /** A line that is not about the stride itself: the skater weaves, so the travel may have turned meanwhile. */
  private turned(line: TravelLine, n: number): TravelLine {
    return this.remember(`line ${line.name} for ${n}`, () => {
      const turn = this.sources.add(0, WEAVE);
      const [dx, dy] = [line.to.x.value - line.from.x.value, line.to.y.value - line.from.y.value];
      const to = {
        x: weightedSum([
          [1, line.to.x],
          [-dy, turn],
        ]),
        y: weightedSum([
          [1, line.to.y],
          [dx, turn],
        ]),
      };
      return { ...line, name: `${line.name} for ${n}`, to };
    });
  }

  /** Speed along the line of travel between its two ends, m/s of real time. */
  speed(line: TravelLine): Uncertain {
    return this.remember(`speed ${line.name}`, () =>
      deriveOne(
        (ax, ay, bx, by, t0, t1) => distance(bx - ax, by - ay) / (t1 - t0),
        [line.from.x, line.from.y, line.to.x, line.to.y, ...line.seconds],
      ),
    );
  }

  /** A value with the standard uncertainty that the straight line through it leaves out; drawn errors have it anyway. */
  secondOrder(value: Uncertain, u: number): Uncertain {
    const beyond = this.sources.add(0, u);
    const identity = calculation(itself, [value]);
    const terms = [
      [1, value],
      [1, beyond],
    ] as const;
    return linearised(value.value, terms, { calculation: identity, pick: 0 });
  }

  /** One prior for the whole trial: it is a habit of this skater, so its error does not average out over strides. */
  sharedPrior(name: string, prior: Prior): Uncertain {
    return this.remember(`prior ${name}`, () => this.sources.add(prior.mean, prior.u));
  }

  /** A mark as it is in the picture; null where there is none. */
  pictureMark(frame: number, side: Side, point: PointName): UncertainMark | null {
    return this.remember(`mark ${frame} ${side} ${point}`, () => {
      const mark = this.marks.get(frame, side, point);
      return mark && { u: this.sources.add(mark.xPx, mark.uPx), v: this.sources.add(mark.yPx, mark.uPx) };
    });
  }

  /** A point that is on the ice in this frame. */
  pointOnIce(frame: number, side: Side, point: PointName): UncertainPlace {
    return this.remember(`ice ${frame} ${side} ${point}`, () => {
      const mark = this.pictureMark(frame, side, point);
      if (!mark) {
        throw new Unmeasurable(`The ${pointWords(point, side)} is not marked in frame ${frame}.`);
      }
      const why = this.ground.unplacedWhy(frame);
      if (why) throw new Unmeasurable(why);
      const place = this.ground.place(mark, frame);
      if (!place) {
        throw new Unmeasurable(
          `The ${pointWords(point, side)} in frame ${frame} is marked above the horizon, where there is no ice.`,
        );
      }
      return place;
    });
  }

  /** The doubt whether the blade touches the ice in the picked frame: a shift straight away from the camera. */
  private lifted(place: UncertainPlace, lift: number, frame: number): UncertainPlace {
    const camera = this.ground.cameraIn(frame)?.camera;
    if (!camera) return place;
    const away = [place.x.value - camera.x, place.y.value - camera.y] as const;
    const shift = this.sources.add(0, (lift * 60 * this.frameSeconds) / camera.z);
    return {
      x: weightedSum([
        [1, place.x],
        [away[0], shift],
      ]),
      y: weightedSum([
        [1, place.y],
        [away[1], shift],
      ]),
    };
  }

  private widenedOutside(place: UncertainPlace, frame: number, side: Side): UncertainPlace {
    const { hull } = this.ground;
    const distance = hull.length < 3 ? 0 : distanceOutside(hull, { x: place.x.value, y: place.y.value });
    if (distance === 0) return place;
    this.outside.set(`${frame} ${side}`, { frame, side, distance });
    const widen = (along: Uncertain) =>
      weightedSum([
        [1, along],
        [1, this.sources.add(0, OUTSIDE_HULL * distance)],
      ]);
    return { x: widen(place.x), y: widen(place.y) };
  }

  /** What `make` gives, made once. */
  remember<T>(key: string | object, make: () => T): T {
    if (!this.remembered.has(key)) this.remembered.set(key, make());
    return this.remembered.get(key) as T;
  }
}

export function sameSideTwice(first: StrideEvents): string {
  return `The ${first.side} blade leaves the ice twice in a row: the ${otherSide(first.side)} blade's blade-off after frame ${first.off.frame} is missing.`;
}

export function noBladeOn(stride: StrideEvents): string {
  return `No blade-on of the ${stride.side} blade is marked after its blade-off in frame ${stride.off.frame}.`;
}
