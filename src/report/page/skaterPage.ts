import { differenceText } from "../../compare/estimateText.ts";
import { nextForSkater } from "../../compare/nextStep.ts";
import { listed, placesOf } from "../../compare/numbers.ts";
import type { Pair } from "../../compare/types.ts";
import { QUANTITY_WORDS } from "../../quantities/compared.ts";
import { type Names, skaterLabels, techniqueLabels } from "../../study/labels.ts";
import type { Skater, WholeStudy } from "../../study/types.ts";
import { type ReadingOf, trialAsAsked } from "../../trials/techniqueCheck.ts";
import { formatNumber, withUnit } from "../../uncertainty/format.ts";
import { capital } from "../../words.ts";
import { pairWords } from "../figures/eachSkaterRows.ts";
import type { SkaterStills } from "../still/skaterStills.ts";
import type { StudyAnswer } from "../studyAnswer.ts";
import { html, list, type Markup } from "./markup.ts";
import { minusWords } from "./minusWords.ts";
import { skaterNumbers } from "./skaterNumbers.ts";

/** A skater's stills as they are drawn. */
export interface DrawnStills extends Pick<SkaterStills, "of" | "shows" | "recovery"> {
  readonly a: readonly Markup[];
  readonly b: readonly Markup[];
  /** Touchdowns and recoveries that are written in them. */
  readonly values: readonly string[];
}

/** What the pages of all skaters are made from. */
export interface SkaterSources {
  readonly whole: WholeStudy;
  readonly names: Names;
  readonly answer: StudyAnswer;
  /** Only readings that count. */
  readonly readingOf: ReadingOf;
}

/** What is drawn on a skater's page. */
export interface SkaterDrawings {
  readonly stills: DrawnStills | null;
  /** Every trial and the difference; null without a pair. */
  readonly trials: Markup | null;
}

/** One page for one skater: the verdict, every trial, what next; both techniques side by side; the numbers. */
export function skaterPage(
  skater: Skater,
  { whole, names, answer, readingOf }: SkaterSources,
  { stills, trials }: SkaterDrawings,
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
  const missed = [...new Set(wrong.map((w) => w.name))];
  const next =
    missed.length > 0 ? `Next: skate ${listed(missed)} again, as asked.` : nextForSkater(pair, answer.all);
  return html`<section class="page skater${stills || some ? "" : " brief"}" aria-label="${name}"><h2>${name}</h2>${
    pair ? verdict(pair, answer) : html`<p class="headline">${lacking(name, answer)}</p>`
  }${
    wrong.length > 0 &&
    html`<p class="care">Not skated as asked, but counted here: ${wrong.map(({ trial, name: t }) => `${t}, trial ${trial.repeat}`).join("; ")}. The first page says what is left without ${wrong.length === 1 ? "it" : "them"}.</p>`
  }<p class="next">${next}</p>${trials}${
    stills
      ? html`<div class="pair">${(
          [
            ["a", answer.all.a],
            ["b", answer.all.b],
          ] as const
        ).map(
          ([which, technique]) =>
            html`<figure><figcaption>${technique}${stills.shows === "left and right" && html`<small>left ${singular(stills)}, right ${singular(stills)}</small>`}</figcaption><div class="side-by-side">${stills[which]}</div></figure>`,
        )}</div><p class="quiet">${stillsWords(stills)}</p>`
      : html`<p class="quiet">No still: it needs one trial of each technique with a scale of the ice and a stride whose width is measured.</p>`
  }${columns.length === 0 ? html`<p>No trials of these two techniques.</p>` : tables}${sides}${minusWords([...signed, ...(stills?.values ?? [])])}${
    missing.length > 0 &&
    html`<div class="quiet"><p>${some ? "A dash: it could not be measured." : "Nothing is measured."}</p>${list(missing)}</div>`
  }</section>`;
}

const GRID =
  "Grid: 1 m on the ice, labels from the start line. Circles: points marked; open left, filled right.";

const singular = ({ of }: Pick<SkaterStills, "of">) => (of === "arms" ? "arm" : "blade");

function stillsWords({ of, shows, recovery }: DrawnStills): string {
  if (of === "arms") {
    const which =
      shows === "left and right"
        ? "Each arm at its front extreme, in the swing nearest its trial’s mean direction of that arm."
        : `The same arm, in the swing nearest its trial’s mean direction.${shows === "two events" ? " Left of each pair: the front extreme; right: the back one." : ""}`;
    return `${which} Solid: shoulder, elbow and wrist; dashed: the swing’s other extreme, from the same shoulder. On the ice below: the way the hand passes the shoulder, with a ring at its front end, and the travel (dotted); the angle between the two is the direction, 0° straight along and 90° across. ${GRID}`;
  }
  const off =
    "solid, stride width, from the blade-off point to the line through the other blade’s blade-offs (dotted); dashed, where the same blade comes down next, from the track midline";
  const nearest =
    "where the recovering blade is nearest the midline; dotted, straight down from mid-hip and from the blade, and the midline on the ice; solid, recovery to midline";
  const chosen = "in the stride nearest its trial’s means of that blade (width and touchdown)";
  const which = {
    "left and right": `Each blade ${chosen}, ${recovery ? nearest : `at blade-off: ${off}`}.`,
    "two events": `The same blade, ${chosen}. Left of each pair: blade-off; ${off}. Right of each pair: ${nearest}.`,
    "one event": `The same blade, ${chosen}, at blade-off: ${off}.`,
  }[shows];
  return `${which} ${GRID}`;
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
