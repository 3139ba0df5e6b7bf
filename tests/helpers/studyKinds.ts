import type { Trial, TrialMarks, WholeStudy } from "../../src/study/types.ts";
import type { ReadingOf } from "../../src/trials/techniqueCheck.ts";
import { DEMO_READINGS, demo } from "./demoReadings.ts";
import type { MadeUp, MadeUpStudy } from "./madeUpStudy.ts";
import { normal, seeded } from "./random.ts";

const SKATERS =
  "Ada Berit Cleo Dagny Ebba Freja Gro Hedda Ida Jorun Kaia Liv Marit Nora Oda Petra Ragna Siri Tuva Ylva".split(
    " ",
  );
const TECHNIQUES = ["close recovery", "open recovery", "low hips", "wide stride"];

interface Kind {
  readonly name: string;
  readonly skaters: number;
  readonly repeats: number;
  readonly techniques?: number;
  /** Seconds that a technique adds to this skater's time. */
  readonly effect: (technique: number, skater: number) => number;
  /** SD of one trial, s. */
  readonly scatter?: number;
  /** How differently skaters respond, SD, s. */
  readonly response?: number;
  /** Change from one of a skater's trials to the next, s. */
  readonly drift?: number;
  /** Every skater skates the techniques in blocks, the first of Plan first. */
  readonly blocks?: boolean;
  /** Share of trials without a time. */
  readonly gaps?: number;
  readonly digits?: number;
  /** Repeats of a trial that have a clip with marks. */
  readonly filmed?: number;
  /** Marks are of the other technique: nothing is as asked. */
  readonly astray?: boolean;
  readonly timed?: boolean;
  readonly worthwhile?: number | null;
}

/** A trial of the demo that shows its technique beyond doubt. */
const AS_ASKED = (id: string) => {
  const reading = DEMO_READINGS(id);
  const touchdown = reading.ok ? reading.value.trial.touchdown_to_track_midline_m : null;
  if (!touchdown || "why" in touchdown) return false;
  const [low, high] = [touchdown.mean - touchdown.u95, touchdown.mean + touchdown.u95];
  return id.includes("close") ? high <= 0.12 : low >= 0.18;
};

const faster = (by: number) => (technique: number) => -by * technique;

/** The kinds of study that a report must say the right thing of; the demo is the nineteenth. */
const KINDS: readonly Kind[] = [
  { name: "clear", skaters: 8, repeats: 2, effect: faster(0.12) },
  { name: "null", skaters: 8, repeats: 2, effect: () => 0 },
  { name: "opposite", skaters: 6, repeats: 3, effect: (t, s) => (s < 3 ? -0.25 : 0.25) * t, scatter: 0.02 },
  { name: "one skater", skaters: 1, repeats: 3, effect: faster(0.12) },
  { name: "two skaters", skaters: 2, repeats: 2, effect: faster(0.15) },
  { name: "three skaters", skaters: 3, repeats: 2, effect: faster(0.15) },
  { name: "missing cells", skaters: 8, repeats: 2, effect: faster(0.1), gaps: 0.3 },
  { name: "not as asked", skaters: 5, repeats: 2, effect: faster(0.12), astray: true },
  { name: "one technique", skaters: 5, repeats: 3, techniques: 1, effect: () => 0 },
  { name: "no measurements", skaters: 6, repeats: 2, effect: faster(0.1), filmed: 0 },
  { name: "only measurements", skaters: 5, repeats: 2, effect: () => 0, filmed: 2, timed: false },
  { name: "four techniques", skaters: 8, repeats: 2, techniques: 4, effect: faster(0.06) },
  {
    ...{ name: "precise and tiny", skaters: 8, repeats: 3, effect: faster(0.004), scatter: 0.001 },
    ...{ response: 0.0005, digits: 3 },
  },
  { name: "order unbalanced", skaters: 8, repeats: 2, effect: () => 0, blocks: true, drift: -0.04 },
  { name: "tied clock", skaters: 5, repeats: 2, effect: faster(0.1), scatter: 0, response: 0, digits: 1 },
  { name: "fifteen skaters", skaters: 15, repeats: 2, effect: faster(0.05), response: 0.05 },
  { name: "twenty skaters", skaters: 20, repeats: 2, effect: faster(0.05), response: 0.08 },
  { name: "600 trials", skaters: 20, repeats: 10, techniques: 3, effect: faster(0.04), filmed: 4 },
];

export const STUDY_KINDS: readonly string[] = [...KINDS.map((k) => k.name), "demo"];

/** A study of one kind, its clips measured: marks are the demo's, of the same technique. */
export function studyOfKind(name: string): MadeUpStudy {
  if (name === "demo") return measured(demo(), DEMO_READINGS);
  const at = KINDS.findIndex((k) => k.name === name);
  const { whole, from } = studyOf(KINDS[at]!, 1 + at);
  return measured(whole, (id) => DEMO_READINGS(from.get(id) ?? id));
}

function studyOf(kind: Kind, seed: number) {
  const { techniques: nT = 2, scatter = 0.025, response = 0.015, drift = 0, digits = 2 } = kind;
  const random = seeded(seed);
  const { study, marks: demoMarks } = demo();
  const trials: Trial[] = [];
  const marks: Record<string, TrialMarks> = {};
  const from = new Map<string, string>();
  const bodies = new Map(study.skaters.map((s) => [s.id, s.body]));
  const sources = (technique: string) =>
    Object.keys(demoMarks).filter((id) => id.includes(technique) && AS_ASKED(id));
  for (let s = 0; s < kind.skaters; s++) {
    const level = 4.65 + 0.16 * normal(random);
    const own = Array.from({ length: nT }, (_, t) => kind.effect(t, s) + response * normal(random));
    inOrder(kind, nT, s).forEach(([t, repeat], k) => {
      const id = `s${s}-${t}-${repeat}`;
      const seconds = level + own[t]! + drift * k + scatter * normal(random);
      const time =
        kind.timed === false || random() < (kind.gaps ?? 0) ? null : Number(seconds.toFixed(digits));
      const filmed = repeat <= (kind.filmed ?? 1);
      const trial: Trial = {
        ...{ id, skater: `s${s}`, technique: `t${t}`, repeat, order: 1 + s + k * kind.skaters, time },
        ...{ valid: true, speedFactor: 1 },
      };
      trials.push(trial);
      if (!filmed) return;
      const like = sources((t % 2 === 0) === !kind.astray ? "close" : "open");
      const source = like[(s + repeat) % like.length]!;
      from.set(id, source);
      const { speedFactor } = study.trials.find((x) => x.id === source)!;
      trials[trials.length - 1] = { ...trial, clip: id, speedFactor };
      marks[id] = { ...demoMarks[source]!, trial: id, gatePassings: [] };
    });
  }
  const whole: WholeStudy = {
    study: {
      ...study,
      question: "Does open recovery beat close recovery over 30 m?",
      skaters: SKATERS.slice(0, kind.skaters).map((who, s) => {
        const source = from.get(`s${s}-0-1`)?.split("-")[0] ?? "aino";
        return { id: `s${s}`, name: who, code: `S${s + 1}`, body: bodies.get(source)! };
      }),
      techniques: TECHNIQUES.slice(0, nT).map((who, t) => {
        const like = study.techniques[t];
        return { id: `t${t}`, name: who, asked: like?.asked ?? [] };
      }),
      trials: trials.sort((x, y) => x.order - y.order),
      clips: [],
      worthwhile: kind.worthwhile === undefined ? 0.04 : kind.worthwhile,
      compare: { a: "t0", b: "t1" },
    },
    marks,
  };
  return { whole, from };
}

/** One skater's trials as they follow each other: ABBA and BAAB by turns, or in blocks. */
function inOrder({ repeats, blocks }: Kind, techniques: number, skater: number): [number, number][] {
  const all = Array.from({ length: techniques }, (_, t) => (t + (blocks ? 0 : skater)) % techniques);
  if (blocks)
    return all.flatMap((t) => Array.from({ length: repeats }, (_, r): [number, number] => [t, r + 1]));
  return Array.from({ length: repeats }, (_, r) =>
    (r % 2 === 0 ? all : all.slice().reverse()).map((t): [number, number] => [t, r + 1]),
  ).flat();
}

/** What plain statistics need of the measured trials. */
function measured(whole: WholeStudy, readingOf: ReadingOf): MadeUpStudy {
  const found = new Map<string, MadeUp>();
  for (const { id, clip } of whole.study.trials) {
    const reading = clip === undefined ? null : readingOf(id);
    if (!reading?.ok) continue;
    const { touchdown_to_track_midline_m: touchdown, stride_width_m: width } = reading.value.trial;
    const recovery = reading.value.trial.recovery_to_midline_m;
    if ("why" in touchdown || "why" in width) continue;
    const { mean, u95 } = touchdown;
    found.set(id, {
      ...{ touchdown: mean, u95, width: width.mean },
      ...("mean" in recovery && { recovery: recovery.mean }),
    });
  }
  const suspect = new Set<string>();
  for (const { id, time, speedFactor } of whole.study.trials) {
    const passed = (whole.marks[id]?.gatePassings ?? []).map((p) => p.time / speedFactor);
    if (time === null || passed.length < 2) continue;
    const seconds = Math.max(...passed) - Math.min(...passed);
    if (Math.abs(seconds - time) > 0.3) suspect.add(id);
  }
  return { ofArms: false, whole, readingOf, measured: found, suspect };
}
