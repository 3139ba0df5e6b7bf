import { leanOf } from "../compare/clockMix.ts";
import { pairsOf } from "../compare/compareTechniques.ts";
import { MeasureError } from "../errors.ts";
import type { CompareQuantity } from "../quantities/compared.ts";
import { techniqueLabels } from "../study/labels.ts";
import type { TimedStudy } from "../study/timed.ts";
import type { Study, Trial } from "../study/types.ts";
import type { PlacedDifference } from "./poolOrder.ts";
import { sameEvening } from "./sameEvening.ts";

/** One evening: a study and what it measured. */
export interface Evening {
  /** As it was given: its folder. */
  readonly name: string;
  readonly study: TimedStudy;
  /** It was shared without names: its skaters have codes at most. */
  readonly nameless?: boolean;
  /** A trial's value (mean) of a quantity, null where it is not known. */
  readonly ofTrial: (trial: Trial, quantity: CompareQuantity) => { readonly value: number } | null;
}

export interface Question {
  /** Names (or ids) that all mean the technique, as somebody who knows the evenings says. */
  readonly a: readonly string[];
  readonly b: readonly string[];
  readonly quantity: CompareQuantity;
  /** Who is the same skater: who has the same code and name, or (true) the same code alone. */
  readonly byCode: boolean;
}

export interface PoolRows {
  readonly rows: readonly PlacedDifference[];
  /** Trials behind them. */
  readonly trials: number;
  readonly warnings: readonly {
    readonly code: "left-out" | "same-code" | "same-evening";
    readonly text: string;
  }[];
}

/**
 * Each skater's difference on each evening, b minus a, her repeats averaged first.
 *
 * @throws {MeasureError} `not-poolable` where evenings do not ask the same: another distance, a technique that is not there
 */
export function poolRows(evenings: readonly Evening[], question: Question): PoolRows {
  const [first] = evenings;
  if (!first || evenings.length < 2) throw refused("Pooling needs two studies or more.");
  const started = evenings.find((e) => e.study.lane.start !== "not said");
  for (const { name, study } of evenings) {
    const { start } = study.lane;
    if (
      question.quantity === "time_s" &&
      started &&
      start !== "not said" &&
      start !== started.study.lane.start
    )
      throw refused(
        `${started.name} is timed from a ${started.study.lane.start} start and ${name} from a ${start} one. Such times can't be pooled.`,
      );
    if (question.quantity === "time_s" && study.lane.distance !== first.study.lane.distance)
      throw refused(
        `${first.name} is over ${first.study.lane.distance} m and ${name} over ${study.lane.distance} m. Times over other distances can't be pooled.`,
      );
  }
  const rows: PlacedDifference[] = [];
  const warnings: PoolRows["warnings"][number][] = [];
  const names = new Map<string, Set<string>>();
  let trials = 0;
  for (const { name, study, nameless = false, ofTrial } of evenings) {
    const a = techniqueOf(study, question.a, name);
    const b = techniqueOf(study, question.b, name);
    if (a === b) throw refused(`In ${name} both names mean the technique "${a}".`);
    const labels = techniqueLabels(study);
    const techniqueName = (id: string) => labels.get(id) ?? id;
    const comparison = pairsOf({
      rows: study.trials.map((t) => ({
        skater: t.skater,
        technique: techniqueName(t.technique),
        order: t.order,
        value: ofTrial(t, question.quantity)?.value ?? null,
        ...(question.quantity === "time_s" && t.clipSd !== undefined ? { clipSd: t.clipSd } : {}),
        valid: t.valid,
      })),
      a: techniqueName(a),
      b: techniqueName(b),
    });
    for (const pair of comparison.means) {
      const skater = study.skaters.find((s) => s.id === pair.skater);
      const code = skater?.code || (nameless ? "" : skater?.name) || pair.skater;
      // Every club has an S1, and a "Skater 1" without a code: where the name is not known, only --codes says who is who.
      const nobodyElse = nameless && (!question.byCode || !skater?.code);
      const who = nobodyElse
        ? `${code}\n\n${name}`
        : question.byCode
          ? code
          : `${code}\n${skater?.name ?? ""}`;
      // By how much clips and photocells differ is one thing for an evening: no model of skaters takes it in.
      if (leanOf(pair) !== 0) {
        const text = `${name}: ${codeOf(study, pair.skater)} is left out (one technique is timed more by clips than the other).`;
        warnings.push({ code: "left-out", text });
        continue;
      }
      if (!nameless) names.set(code, (names.get(code) ?? new Set()).add(skater?.name ?? ""));
      const { trialsA, trialsB } = pair;
      rows.push({ study: name, skater: who, difference: pair.b - pair.a, trialsA, trialsB });
      trials += pair.nA + pair.nB;
    }
    for (const { skater, why } of comparison.leftOut)
      warnings.push({ code: "left-out", text: `${name}: ${codeOf(study, skater)} is left out (${why}).` });
  }
  const twice = sameEvening(evenings);
  if (twice)
    warnings.unshift({
      code: "same-evening",
      text: `${twice.one} and ${twice.other} hold the same times (${twice.equal} of ${twice.of} trials), so one is a copy of the other and its evening counts twice here: what is said is surer than it should be. Leave one of them out.`,
    });
  const apart = evenings.filter((e) => e.nameless).map((e) => e.name);
  if (apart.length > 0 && !question.byCode)
    warnings.push({
      code: "same-code",
      text: `Shared without names: ${apart.join(", ")}. Their skaters are taken for nobody of the other studies. Where the same code is the same skater, say so with --codes.`,
    });
  for (const [code, all] of names) {
    const said = [...all].filter((n) => n !== "");
    if (said.length > 1)
      warnings.push({
        code: "same-code",
        text: question.byCode
          ? `Code ${code} belongs to people of different names (${said.join(", ")}): they were taken for one skater.`
          : `Code ${code} belongs to people of different names (${said.join(", ")}): they were taken for different skaters.`,
      });
  }
  return { rows, trials, warnings };
}

function codeOf(study: Study, id: string): string {
  return study.skaters.find((s) => s.id === id)?.code || id;
}

function techniqueOf(study: Study, asked: readonly string[], name: string): string {
  const found = study.techniques.filter((t) => asked.includes(t.id) || asked.includes(t.name));
  if (found.length === 1) return found[0]!.id;
  const there = study.techniques.map((t) => `"${t.name}"`).join(", ") || "none";
  throw refused(
    found.length === 0
      ? `${name} has no technique ${asked.map((a) => `"${a}"`).join(" or ")}. It has: ${there}. If one of them means the same, give both names with a comma between.`
      : `${name} has two techniques that were named as one: ${found.map((t) => `"${t.name}"`).join(", ")}.`,
  );
}

function refused(coach: string): MeasureError {
  return new MeasureError("not-poolable", `pool: ${coach}`, coach);
}
