import type { Assessment } from "../../kinematics/measureTrial.ts";
import { Unmeasurable } from "../../kinematics/quantities/unmeasurable.ts";
import type { TravelLine } from "../../kinematics/trial/travelLine.ts";
import type { TrialGeometry } from "../../kinematics/trial/trialGeometry.ts";
import type { EventFrame } from "../../study/types.ts";
import { realSeconds } from "../../time/speedFactor.ts";
import {
  type ErrorShape,
  exactly,
  Sources,
  type Uncertain,
  weightedSum,
} from "../../uncertainty/uncertain.ts";
import type { ClockTie } from "../clock/tieClock.ts";
import type { Push } from "./pushes.ts";

/** One of a trial's views as it was measured for itself, and how its clock lies to the first view's. */
export interface View {
  /** 0 is the first. */
  readonly index: number;
  readonly assessment: Assessment;
  readonly trial: TrialGeometry;
  readonly tie: ClockTie;
  /** What was picked in its frames, the same name for the same moment in every view. */
  readonly names: ReadonlyMap<number, string>;
}

/** Several views of one trial. */
export interface Joint {
  readonly views: readonly View[];
  readonly pushes: readonly Push[];
  readonly sources: Sources;
}

/** A list of causes that several views add to, which remembers what one of them added. */
export class OwnSources extends Sources {
  private readonly shared: Sources;
  private readonly own: Set<number>;

  constructor(shared: Sources, own: Set<number>) {
    super();
    this.shared = shared;
    this.own = own;
  }

  override get count(): number {
    return this.shared.count;
  }

  override add(value: number, u: number, shape: ErrorShape | null = null): Uncertain {
    const before = this.shared.count;
    const added = this.shared.add(value, u, shape);
    for (let source = before; source < this.shared.count; source++) this.own.add(source);
    return added;
  }

  override reserve(count: number): number {
    const first = this.shared.reserve(count);
    for (let source = first; source < first + count; source++) this.own.add(source);
    return first;
  }
}

/** When a picked frame was, in the first view's clock, real seconds. */
export function frameInstant({ trial, tie }: View, event: EventFrame): Uncertain {
  return tie.toFirst(exactly(realSeconds(event.time, trial.speedFactor)));
}

/** Real seconds from one view's picked frame to another's. */
export function secondsBetween(
  from: readonly [View, EventFrame],
  to: readonly [View, EventFrame],
): Uncertain {
  return weightedSum([
    [1, frameInstant(...to)],
    [-1, frameInstant(...from)],
  ]);
}

/** A line that one view found, for another one to reckon along. */
export function borrowed(line: TravelLine, trial: TrialGeometry): TravelLine {
  return { ...line, serial: trial.serial() };
}

/** What is found, or null where this view cannot say. */
export function had<T>(find: () => T): T | null {
  try {
    return find();
  } catch (error) {
    if (error instanceof Unmeasurable) return null;
    throw error;
  }
}
