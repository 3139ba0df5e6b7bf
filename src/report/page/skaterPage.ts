import { differenceText } from "../../compare/estimateText.ts";
import { placesOf } from "../../compare/numbers.ts";
import type { Pair } from "../../compare/types.ts";
import { isOfArm } from "../../quantities/catalogue.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { type Names, skaterLabels, techniqueLabels } from "../../study/labels.ts";
import type { Skater, WholeStudy } from "../../study/types.ts";
import { type ReadingOf, trialAsAsked } from "../../trials/techniqueCheck.ts";
import { formatNumber, withUnit } from "../../uncertainty/format.ts";
import { capital } from "../../words.ts";
import { pairWords } from "../figures/eachSkaterRows.ts";
import { planArmStills, usualSwings } from "../still/planArmStills.ts";
import { planStrideStills, type StridePlans } from "../still/planStill.ts";
import { usualStrides } from "../still/usualStrides.ts";
import type { StudyAnswer } from "../studyAnswer.ts";
import { html, list, type Markup } from "./markup.ts";
import { minusWords } from "./minusWords.ts";
import { skaterNumbers } from "./skaterNumbers.ts";

/**
 * A skater's stills, technique a and b, at the same events of two strides that are as each trial's usually are: of arms where
 * those are what was asked, else of blades. Null where there are none.
 */
export function skaterStills(
  whole: WholeStudy,
  skater: string,
  answer: StudyAnswer,
  readingOf: ReadingOf,
): readonly [StridePlans, StridePlans] | null {
  const trials = (technique: string) =>
    whole.study.trials
      .filter((t) => t.skater === skater && t.technique === technique && t.valid)
      .sort((x, y) => x.order - y.order)
      .flatMap((t) => {
        const reading = readingOf(t.id);
        return reading.ok && reading.value.scale ? [{ id: t.id, readings: reading.value }] : [];
      });
  const pairs = trials(answer.a.id).flatMap((a) => trials(answer.b.id).map((b) => [a, b] as const));
  if (isOfArm(answer.check.quantity))
    for (const [a, b] of pairs) {
      const swings = usualSwings(whole, a, b);
      const first = swings && planArmStills(whole, a.id, a.readings, swings[0]);
      const second = swings && planArmStills(whole, b.id, b.readings, swings[1]);
      if (first && second) return [first, second];
    }
  for (const [a, b] of pairs) {
    const alike = usualStrides(a.readings, b.readings);
    const first = alike && planStrideStills(whole, a.id, a.readings, alike[0]);
    const second = alike && planStrideStills(whole, b.id, b.readings, alike[1]);
    if (first && second) return [first, second];
  }
  return null;
}

/** Drawn: of each technique the still at blade-off and, where both have one, that of the recovery. */
export interface SkaterStills {
  readonly a: readonly Markup[];
  readonly b: readonly Markup[];
  /** Touchdowns and recoveries that are written in them. */
  readonly values: readonly string[];
  readonly of: "blades" | "arms";
}

/** What the pages of all skaters are made from. */
export interface SkaterSources {
  readonly whole: WholeStudy;
  readonly names: Names;
  readonly answer: StudyAnswer;
  /** Only readings that count. */
  readonly readingOf: ReadingOf;
}

/** One page for one skater: both techniques side by side, their numbers, their times, the verdict. */
export function skaterPage(
  skater: Skater,
  { whole, names, answer, readingOf }: SkaterSources,
  stills: SkaterStills | null,
): Markup {
  const { study } = whole;
  const name = skaterLabels(study, names).get(skater.id) ?? skater.id;
  const techniques = techniqueLabels(study);
  const pair = answer.all.pairs.find((p) => p.skater === name);
  const own = (technique: string) =>
    study.trials
      .filter((t) => t.skater === skater.id && t.technique === technique)
      .sort((x, y) => x.order - y.order);
  const columns = [answer.a, answer.b].flatMap((technique) =>
    own(technique.id).map((trial) => ({
      trial,
      technique,
      name: techniques.get(technique.id) ?? technique.id,
    })),
  );
  const { tables, sides, missing, some, signed } = skaterNumbers(columns, readingOf);
  const wrong = columns.filter(
    ({ trial, technique }) => trial.valid && trialAsAsked(trial, technique, readingOf).answer === "no",
  );
  return html`<section class="page skater${stills || some ? "" : " brief"}" aria-label="${name}"><h2>${name}</h2>${
    pair ? verdict(pair, answer) : html`<p class="headline">${lacking(name, answer)}</p>`
  }${
    wrong.length > 0 &&
    html`<p class="care">Not skated as asked, but counted here: ${wrong.map(({ trial, name: t }) => `${t}, trial ${trial.repeat}`).join("; ")}. The first page says what is left without ${wrong.length === 1 ? "it" : "them"}.</p>`
  }${
    stills
      ? html`<div class="pair">${(
          [
            ["a", answer.all.a],
            ["b", answer.all.b],
          ] as const
        ).map(
          ([which, technique]) =>
            html`<figure><figcaption>${technique}</figcaption><div class="side-by-side">${stills[which]}</div></figure>`,
        )}</div><p class="quiet">${stillsWords(stills)}</p>`
      : html`<p class="quiet">No still: it needs one trial of each technique with a scale of the ice and a stride whose width is measured.</p>`
  }${columns.length === 0 ? html`<p>No trials of these two techniques.</p>` : tables}${sides}${minusWords([...signed, ...(stills?.values ?? [])])}${
    missing.length > 0 &&
    html`<div class="quiet"><p>${some ? "A dash: it could not be measured." : "Nothing is measured."}</p>${list(missing)}</div>`
  }</section>`;
}

function stillsWords({ a, of }: SkaterStills): string {
  if (of === "arms") {
    const ends = a.length > 1 ? " Left of each pair: the front extreme; right: the back one." : "";
    return `The same arm, in the swing nearest its trial’s mean direction.${ends} Solid: shoulder, elbow and wrist; dashed: the swing’s other extreme, from the same shoulder. On the ice below: the way the hand passes the shoulder, with a ring at its front end, and the travel (dotted); the angle between the two is the direction, 0° straight along and 90° across. Grid: 1 m on the ice, labels from the start line. Circles: points marked; open left, filled right. Each still is one swing; the table has the means.`;
  }
  const nearest =
    a.length > 1
      ? " Right of each pair: where the recovering blade is nearest the midline; dotted, straight down from mid-hip and from the blade, and the midline on the ice; solid, recovery to midline."
      : "";
  return `The same blade, in the stride nearest its trial’s means of that blade (width and touchdown). Grid: 1 m on the ice, labels from the start line. Circles: points marked, such as blade ends and hips; open left, filled right. ${a.length > 1 ? "Left of each pair: b" : "B"}lade-off; solid, stride width, from the blade-off point to the line through the other blade’s blade-offs (dotted); dashed, where the same blade comes down next, from the track midline.${nearest} Each still is one stride; the table has the means.`;
}

function verdict(pair: Pair, { all }: StudyAnswer): Markup {
  const { unit } = QUANTITY_WORDS[all.quantity];
  // As many as every other skater has.
  const places = placesOf(
    all.pairs.flatMap((p) => [p.a, p.b]),
    unit,
  );
  const of = (value: number, n: number, technique: string) =>
    `${withUnit(formatNumber(value, places), unit)} with ${technique} (${n} ${n === 1 ? "trial" : "trials"})`;
  const size = (difference: number) => differenceText(difference, pair.u95, unit);
  const headline =
    pair.verdict === "can't tell"
      ? `${capital(pairWords(pair))}: ${all.b} minus ${all.a} is ${size(pair.difference)}.`
      : `${capital(pair.verdict)} with ${all.b}, by ${size(Math.abs(pair.difference))}.`;
  return html`<p class="headline">${headline}</p><p>Mean time ${of(pair.a, pair.nA, all.a)}, ${of(pair.b, pair.nB, all.b)}. ${capital(pair.why)}.</p>`;
}

function lacking(name: string, { all }: StudyAnswer): string {
  const why = all.leftOut.find((s) => s.skater === name)?.why ?? "no trials";
  return `${name} cannot be compared: ${why}.`;
}
