import { type Outcome, readingOf } from "../../kinematics/quantities/readingOf.ts";
import { speedLimit } from "../../kinematics/speed/alongTrackSpeed.ts";
import { entryOf } from "../../quantities/catalogue.ts";
import type { Reading, Warning } from "../../reading.ts";
import { contributions, type Uncertain } from "../../uncertainty/uncertain.ts";
import type { Doubts } from "../disagree/doubts.ts";
import { type Asked, type Candidate, candidatesFor, combined, isFar } from "./candidates.ts";
import type { Conditioning } from "./conditioning.ts";
import type { Push } from "./pushes.ts";
import type { Joint } from "./view.ts";

/** A quantity of a push as all views give it. */
export interface Told {
  readonly outcome: Outcome;
  readonly reading: Reading;
}

/** A view whose causes have less than this share of a value's variance did not give it. */
const GAVE = 0.01;

/** Quantities of pushes by all views together. */
export class QuantityOfPush {
  readonly joint: Joint;
  readonly known: Conditioning;
  private readonly doubts: Doubts;
  private readonly owned: readonly ReadonlySet<number>[];
  private readonly far: Warning[] = [];

  constructor(joint: Joint, known: Conditioning, doubts: Doubts, owned: readonly ReadonlySet<number>[]) {
    this.joint = joint;
    this.known = known;
    this.doubts = doubts;
    this.owned = owned;
  }

  of(push: Push, asked: Asked): Told {
    const { doubts } = this;
    const candidates = candidatesFor(
      this,
      push,
      asked,
      (view, told, n, way) => doubts.against(view, push, told, n, way),
      (meeting) => doubts.heard(meeting),
    ).filter(({ bySeveral }) => !bySeveral || doubts.meetingHolds(push));
    const limit = asked === "speed" ? speedLimit : entryOf(asked).limit;
    const unit = asked === "speed" ? "m/s" : "m";
    const found = combined(candidates, this.known, asked);
    if (!found) return refused(candidates, doubts.whyNothing(push));
    if (isFar(found)) {
      const why = this.tellFar(push, asked, found.apart);
      return { outcome: { why }, reading: { value: null, why } };
    }
    const { value, atFrame } = found;
    const best = this.surest(candidates, found.value);
    const outcome: Outcome = best ?? { value, ...(atFrame && { atFrame }) };
    const reading = readingOf(outcome, null, limit, unit);
    const sole = asked === "blade_off_s" || asked === "blade_on_s" ? null : surestAlone(candidates, reading);
    if (sole)
      return {
        ...sole,
        reading: { ...readingOf(sole.outcome, null, limit, unit), views: [sole.view] } as Reading,
      };
    if (reading.value === null) return { outcome, reading };
    const views = best ? [found.by.view.index + 1] : this.viewsOf(value, candidates);
    return { outcome, reading: { ...reading, views } };
  }

  /** What one view gives for itself, where the others add nothing: an event alone has an interval of its own. */
  private surest(candidates: readonly Candidate[], value: Uncertain): Outcome | null {
    const alone = candidates.flatMap(({ outcome }) => ("why" in outcome ? [] : [outcome]));
    const [only] = alone;
    return only && alone.length === 1 && only.value.u <= value.u * (1 + GAVE) ? only : null;
  }

  private viewsOf(value: Uncertain, candidates: readonly Candidate[]): number[] {
    const parts = contributions(value);
    let whole = 0;
    const own = this.owned.map(() => 0);
    for (const [source, part] of parts) {
      whole += part * part;
      this.owned.forEach((sources, v) => {
        if (sources.has(source)) own[v]! += part * part;
      });
    }
    const gave = own.flatMap((square, v) => (square > GAVE * whole ? [v + 1] : []));
    return gave.length > 0 ? gave : [candidates[0]!.view.index + 1];
  }

  private tellFar(push: Push, asked: Asked, apart: number): string {
    const name = asked === "speed" ? "along-track speed" : entryOf(asked).name;
    const frames = this.joint.views.flatMap(({ index }) => {
      const stride = push.strides[index];
      return stride ? [`frame ${stride.off.frame} of view ${index + 1}`] : [];
    });
    const why = `The views disagree about the ${name} of stride ${push.stride}: their values lie ${apart.toFixed(0)} times farther apart than chance alone puts them. Check the marks about ${frames.join(" and ")}.`;
    this.far.push({ code: "views-disagree", text: why });
    return why;
  }

  warnings(): readonly Warning[] {
    return this.far;
  }
}

/** A view's own value where it is surer than all together, as far errors of one view widen the interval of both. */
function surestAlone(candidates: readonly Candidate[], reading: Reading) {
  const most = reading.value === null ? 0 : reading.u95;
  const surer = candidates.flatMap(({ own, view }) => {
    if (!own || "why" in own) return [];
    const u95 = own.u95 ?? own.value.u95;
    return u95 < most ? [{ outcome: own, view: view.index + 1, u95 }] : [];
  });
  return surer.sort((a, b) => a.u95 - b.u95)[0] ?? null;
}

/** Why no view gives it: what two views disagree about before what one of them lacks; of the views', the first's. */
function refused(candidates: readonly Candidate[], disagreement: string | null): Told {
  const whys = candidates.flatMap(({ outcome }) => ("why" in outcome ? [outcome.why] : []));
  const why = disagreement ?? whys[0] ?? "No view shows this stride.";
  return { outcome: { why }, reading: { value: null, why } };
}
