import type { Ground, UncertainMark } from "../../ice/camera/ground.ts";
import type { FrameDoubt, SteadyPicture } from "../../ice/types.ts";
import {
  bladeNumber,
  type Learned,
  type MarkedPoint,
  type MarkTable,
  markNumber,
} from "../../marks/markTable.ts";
import type { Prior } from "../../priors.ts";
import type { Body, Picture, PointName, Side } from "../../study/types.ts";
import { EVENT_OFFSET_FRAMES, EVENT_SD_FRAMES, eventShape } from "../../time/eventTime.ts";
import { realSeconds } from "../../time/speedFactor.ts";
import {
  calculation,
  condensed,
  type ErrorShape,
  exactly,
  itself,
  linearised,
  owed,
  type Sources,
  type Uncertain,
  weightedSum,
} from "../../uncertainty/uncertain.ts";
import { Unmeasurable } from "../quantities/unmeasurable.ts";
import { type Contact, contactFrame, contactNumber } from "./contact.ts";
import { type Facts, Notebook, type Slot, slot } from "./notebook.ts";
import { type FrameErrors, frameErrors, rolled, shaken } from "./steadyMarks.ts";
import type { StrideEvents } from "./strideOrder.ts";

/** What is known of any skater and errs the same way in all strides of one. */
export type SharedPrior =
  | Contact
  | "standing speed"
  | "hip speed"
  | "off speed share"
  | "rise speed"
  | "landing speed"
  | "off acceleration"
  | "on speed share"
  | "runner";

/**
 * A cause of error, standard deviation 1, that views of one trial have in common, by what it is about and the frame of the view
 * that asks (null = the whole trial).
 */
export type SharedCauses = (what: string, frame: number | null) => Uncertain;

const DELAY = slot<number, Uncertain>();
const EVENT_TIME = slot<number, Uncertain>();
const PRIOR = slot<SharedPrior, Uncertain>();
const IS_MARKED = slot<number, boolean>();
const MARK = slot<number, PutMark | null>();
const LEARNED_MARK = slot<number, UncertainMark>();
const HOW_SEEN = slot<number, UncertainMark>();
const LOST_HAND = slot<number, UncertainMark>();
const SHAKEN_MARK = slot<number, UncertainMark>();
const ROLLED_MARK = slot<number, UncertainMark>();
const FRAME_ERRORS = slot<number, FrameErrors>();
/** What all frames have in common stands with the frames' own, as none of them. */
const ALL_FRAMES = -1;

/** A mark whose errors are its own; `learned` = it is a suggestion accepted, and has others' besides. */
interface PutMark extends UncertainMark {
  readonly learned: Learned | null;
}

/**
 * What all quantities of one trial share: marks, events, the ice, what is known of the skater. Everything is
 * remembered, so that two quantities that use a mark use the same source of error; where blades are and which way the
 * skater goes is worked out from it in `bladePlaces.ts` and `travelLine.ts`.
 * Methods throw `Unmeasurable` where something is missing.
 */
export class TrialGeometry {
  readonly strides: readonly StrideEvents[];
  readonly sources: Sources;
  readonly body: Body;
  readonly speedFactor: number;
  private marks: MarkTable;
  private readonly groundOrWhy: Ground | string;
  /** Real seconds between frames; null when the clip's times do not tell. */
  readonly interval: number | null;
  /** Whether errors are going to be drawn through all this. */
  private readonly drawn: boolean;
  private readonly causes: SharedCauses | null;
  /** Where the picture moves within the clip. */
  private readonly moves: { readonly steady: SteadyPicture; readonly picture: Picture } | null;
  private readonly notebook = new Notebook();

  private readonly pointsMarked: Facts<MarkedPoint | null> = {
    read: (n) => this.marks.at(n),
    same: isSameMark,
  };
  private readonly bladesMarked: Facts<boolean> = { read: (n) => this.marks.hasBlade(n), same: Object.is };

  constructor(from: {
    readonly strides: readonly StrideEvents[];
    readonly sources: Sources;
    readonly marks: MarkTable;
    readonly body: Body;
    readonly ground: Ground | string;
    readonly clipInterval: number | null;
    readonly speedFactor: number;
    readonly drawn: boolean;
    /** Where this is one of several views of a trial. */
    readonly causes?: SharedCauses;
    readonly moves?: { readonly steady: SteadyPicture; readonly picture: Picture } | null;
  }) {
    this.strides = from.strides;
    this.sources = from.sources;
    this.marks = from.marks;
    this.body = from.body;
    this.groundOrWhy = from.ground;
    this.drawn = from.drawn;
    this.causes = from.causes ?? null;
    this.moves = from.moves ?? null;
    this.speedFactor = from.speedFactor;
    this.interval = from.clipInterval === null ? null : realSeconds(from.clipInterval, from.speedFactor);
  }

  /** The same trial with other marks: what rests on none that changed stays as it is. */
  markAgain(marks: MarkTable): void {
    this.marks = marks;
    this.notebook.turn();
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

  /** Real seconds from the middle of the picked frame to the event, with the event's own doubt. */
  eventDelay(stride: StrideEvents, contact: Contact): Uncertain {
    return this.remember(DELAY, contactNumber(stride, contact), () =>
      this.sources.add(
        EVENT_OFFSET_FRAMES[contact] * this.frameSeconds,
        EVENT_SD_FRAMES * this.frameSeconds,
        eventShape(this.sources.count),
      ),
    );
  }

  /** The source of that doubt, by which others know it. */
  eventSource(stride: StrideEvents, contact: Contact): number {
    return owed(this.eventDelay(stride, contact)).sources[0]!;
  }

  /** Real seconds of the clip at which the event happened. */
  eventTime(stride: StrideEvents, contact: Contact): Uncertain {
    return this.remember(EVENT_TIME, contactNumber(stride, contact), () => {
      const picked = exactly(realSeconds(contactFrame(stride, contact).time, this.speedFactor));
      return weightedSum([
        [1, picked],
        [1, this.eventDelay(stride, contact)],
      ]);
    });
  }

  /** The same value with what it owes to its causes added up, for values that several results are made of. */
  condensed(value: Uncertain): Uncertain {
    return condensed(value, this.drawn);
  }

  /** A value with the standard uncertainty that the straight line through it leaves out; drawn errors have it anyway. */
  secondOrder(value: Uncertain, u: number, shape: ErrorShape | null = null): Uncertain {
    const beyond = this.sources.add(0, u, shape);
    const identity = calculation(itself, [value]);
    const terms = [
      [1, value],
      [1, beyond],
    ] as const;
    return linearised(value.value, terms, { calculation: identity, pick: 0 });
  }

  /** One prior for the whole trial: it is a habit of this skater, so its error does not average out over strides. */
  sharedPrior(name: SharedPrior, prior: Prior): Uncertain {
    return this.remember(PRIOR, name, () => this.belief(name, null, prior));
  }

  /**
   * What is held of the skater before looking, from a cause of its own; every view of the same trial errs in it alike.
   *
   * @param frame the frame it is about; null = the whole trial
   */
  belief(what: string, frame: number | null, { mean, u }: Prior): Uncertain {
    if (!this.causes) return this.sources.add(mean, u);
    return weightedSum([
      [1, exactly(mean)],
      [u, this.causes(what, frame)],
    ]);
  }

  isBladeMarked(frame: number, side: Side): boolean {
    return this.notebook.fact(IS_MARKED, bladeNumber(frame, side), this.bladesMarked, (is) => is);
  }

  /** A mark as it is in the picture, the one that stands still where the clip's own moves; null where there is none. */
  pictureMark(frame: number, side: Side, point: PointName): UncertainMark | null {
    const n = markNumber(frame, side, point);
    const { moves } = this;
    const mark = this.ownMark(n);
    if (!mark) return null;
    const ground = typeof this.groundOrWhy === "string" ? null : this.groundOrWhy;
    if (ground?.shutter) return this.remember(ROLLED_MARK, n, () => this.rolledMark(n, frame, ground));
    if (!moves) return mark;
    return this.remember(SHAKEN_MARK, n, () =>
      shaken(this.ownMark(n)!, this.errorsOf(frame, moves), moves.picture),
    );
  }

  private rolledMark(n: number, frame: number, { shutter }: Ground): UncertainMark {
    const mark = this.ownMark(n)!;
    const aside = shutter!(mark.u.value, mark.v.value, frame);
    return aside ? rolled(mark, aside) : mark;
  }

  private ownMark(n: number): UncertainMark | null {
    const put = this.putMark(n);
    return put?.learned ? this.remember(LEARNED_MARK, n, () => this.learnedMark(n)) : put;
  }

  private errorsOf(frame: number, { steady }: NonNullable<TrialGeometry["moves"]>): FrameErrors[] {
    const made = (key: number, doubt: FrameDoubt) =>
      this.remember(FRAME_ERRORS, key, () => frameErrors(this.sources, doubt, steady.reachPx));
    const { common } = steady;
    return [made(frame, steady.doubt(frame)), ...(common ? [made(ALL_FRAMES, common)] : [])];
  }

  private putMark(n: number): PutMark | null {
    return this.notebook.fact(MARK, n, this.pointsMarked, (mark) => {
      if (!mark) return null;
      const { xPx, yPx, uPx, learned = null } = mark;
      const own = learned?.ownPx ?? uPx;
      return { u: this.sources.add(xPx, own), v: this.sources.add(yPx, own), learned };
    });
  }

  /** With what suggestions from the same marks share: the hand's errors there, and how those frames were seen. */
  private learnedMark(n: number): UncertainMark {
    const { learned, ...own } = this.putMark(n)!;
    const { ownPx, handPx, from } = learned!;
    const shared = (what: Slot<number, UncertainMark>, root: number, u: number) =>
      this.remember(what, root, () => ({ u: this.sources.add(0, u), v: this.sources.add(0, u) }));
    const sum = (pick: "u" | "v") =>
      weightedSum([
        [1, own[pick]],
        ...from.flatMap(([root, weight]) => {
          // A mark taken away since has still put what was learned from it where it is.
          const hand = this.putMark(root) ?? shared(LOST_HAND, root, handPx);
          return [
            [weight * ownPx, shared(HOW_SEEN, root, 1)[pick]],
            [weight, hand[pick]],
            [-weight, exactly(hand[pick].value)],
          ] as const;
        }),
      ]);
    return { u: sum("u"), v: sum("v") };
  }

  /** What `make` gives, made once as long as the marks it rests on stay as they are; see `Notebook`. */
  remember<K extends string | number, T>(what: Slot<K, T>, key: K, make: () => T): T {
    return this.notebook.remember(what, key, make);
  }

  /** The same of one line of travel, or whatever else has a serial. */
  rememberOf<K extends string | number, T>(
    { serial }: { readonly serial: number },
    what: Slot<K, T>,
    key: K,
    make: () => T,
  ): T {
    return this.notebook.remember(what, key, make, serial);
  }

  /** Nothing is going to be asked for again; see `Notebook.close`. */
  letGo(): void {
    this.notebook.close();
  }

  /** A number to remember by what rests on one object. */
  serial(): number {
    return this.notebook.serial();
  }

  /** Whether something remembered rests on the marks of one of these blades; see `Notebook.restingOn`. */
  restsOnBlades(
    blades: readonly { readonly frame: number; readonly side: Side }[],
  ): (what: Slot<number, unknown>, n: number) => boolean {
    const ends = blades.flatMap(({ frame, side }) =>
      (["blade_heel", "blade_toe"] as const).map((end) => markNumber(frame, side, end)),
    );
    return this.notebook.restingOn(MARK, ends);
  }

  /** Those of the things remembered of one kind that the readings rest on. */
  inUse<K extends string | number, T>(what: Slot<K, T>): T[] {
    return this.notebook.inUse(what);
  }
}

function isSameMark(a: MarkedPoint | null, b: MarkedPoint | null): boolean {
  if (a === null || b === null) return a === b;
  return a.xPx === b.xPx && a.yPx === b.yPx && a.uPx === b.uPx && isSameLearned(a.learned, b.learned);
}

function isSameLearned(a?: Learned, b?: Learned): boolean {
  if (!a || !b) return a === b;
  return (
    a.ownPx === b.ownPx &&
    a.handPx === b.handPx &&
    a.from.length === b.from.length &&
    a.from.every(([n, weight], k) => n === b.from[k]![0] && weight === b.from[k]![1])
  );
}
