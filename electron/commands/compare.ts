import { resolve } from "node:path";
import { compareJson } from "../../src/compare/compareJson.ts";
import { comparedTechniques, timeValue } from "../../src/compare/compareStudy.ts";
import { compareTechniques } from "../../src/compare/compareTechniques.ts";
import { manyTechniques } from "../../src/compare/manyTechniques.ts";
import { manyWords } from "../../src/compare/manyWords.ts";
import { numberRows } from "../../src/compare/numberRows.ts";
import { plainWords } from "../../src/compare/plainWords.ts";
import type { CompareRow } from "../../src/compare/types.ts";
import { withinTechniqueWords, withinWords } from "../../src/compare/withinWords.ts";
import { MeasureError } from "../../src/errors.ts";
import type { CompareQuantity } from "../../src/quantities/compared.ts";
import { COMPARE_QUANTITIES, QUANTITY_WORDS } from "../../src/quantities/compared.ts";
import { compareDetails } from "../../src/report/compareDetails.ts";
import { readTimesCsv } from "../../src/study/tables.ts";
import type { Lane, Study, WholeStudy } from "../../src/study/types.ts";
import { withClipTimes } from "../../src/trials/clipTime.ts";
import { countedReadings } from "../../src/trials/countedReadings.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { apartWords, type SkaterSides, skaterSides } from "../../src/trials/skaterSides.ts";
import type { ReadingOf } from "../../src/trials/techniqueCheck.ts";
import { formatNumber, formatReading, withUnit } from "../../src/uncertainty/format.ts";
import { K95 } from "../../src/uncertainty/uncertain.ts";
import { readStudy } from "../vault/openStudy.ts";
import { type Command, type Io, UsageError } from "./Command.ts";
import { readArgs } from "./options.ts";
import { readTableFile } from "./tables.ts";

export const compare: Command = {
  does: "paired comparison of two techniques, from a table of times or a study folder",
  help: `blademark compare --times F --a TECHNIQUE --b TECHNIQUE [--json]
blademark compare STUDY [--a TECHNIQUE --b TECHNIQUE] [--quantity Q] [--json]

Compares within skaters: each skater's repeats are averaged first, then the pairs. Difference = b minus a,
so a negative time difference means that b is faster.

  --times F   times.csv: skater,technique,repeat,order,time_s; of times by clips also time_from (clip) and time_s_u95
  --a, --b    the two techniques, as they are called in the table (a study knows which two it compares)
  --quantity  of a study: time_s (where not given), stride_width_m, recovery_to_midline_m,
              touchdown_to_track_midline_m, stride_rate_hz ...: each trial's mean, repeats averaged
  --json      one JSON object and nothing else`,
  async run(args, io) {
    const options = {
      times: { type: "string" },
      a: { type: "string" },
      b: { type: "string" },
      quantity: { type: "string" },
      json: { type: "boolean" },
    } as const;
    const { values, positionals } = readArgs(args, options, [0, 1]);
    const [folder] = positionals;
    if ((folder === undefined) === (values.times === undefined))
      throw new UsageError("Give either a study folder or --times F.");
    if ((values.a === undefined) !== (values.b === undefined))
      throw new UsageError("--a and --b belong together.");
    if (values.a !== undefined && values.a === values.b)
      throw new UsageError("--a and --b are the same technique; a comparison needs two.");
    if (values.quantity !== undefined && folder === undefined)
      throw new UsageError("--quantity belongs to a study folder; a table of times holds times only.");
    const quantity = quantityOption(values.quantity ?? "time_s");
    const asked = values.a !== undefined && values.b !== undefined ? { a: values.a, b: values.b } : null;
    const given =
      folder === undefined
        ? await fromTable(values.times as string, asked)
        : await fromStudy(resolve(folder), asked, quantity, io);
    print(given, values.json === true, io);
    return 0;
  },
};

interface Given {
  readonly rows: readonly CompareRow[];
  readonly a: string;
  readonly b: string;
  readonly worthwhile: number | null;
  readonly quantity: CompareQuantity;
  readonly beam: Lane["gateBeam"];
  /** Left and right of each skater and technique; none of times. */
  readonly sides: readonly SkaterSides[];
  /** Sentences beyond the comparison itself. */
  readonly details: readonly string[];
}

type Asked = { readonly a: string; readonly b: string } | null;

async function fromTable(file: string, asked: Asked): Promise<Given> {
  if (!asked) throw new UsageError("Which two techniques? Give --a and --b.");
  const rows = await readTableFile(file, readTimesCsv);
  const known = [...new Set(rows.map((r) => r.technique))];
  for (const technique of [asked.a, asked.b]) {
    if (!known.includes(technique)) throw unknownTechnique(technique, known);
  }
  const all = rows.map(({ skater, technique, order, time, timeU95, valid }) => ({
    ...{ skater, technique, order, value: time, valid },
    ...(timeU95 === undefined ? {} : { clipSd: timeU95 / K95 }),
  }));
  const beam = rows.find((r) => r.gateBeam !== undefined)?.gateBeam ?? "not said";
  return {
    ...asked,
    rows: all,
    worthwhile: null,
    quantity: "time_s",
    beam,
    sides: [],
    details: known.length < 3 ? [] : manyWords(manyTechniques(all, known, beam), "time_s"),
  };
}

/** Skaters and techniques by the names people see. */
async function fromStudy(folder: string, asked: Asked, quantity: CompareQuantity, io: Io): Promise<Given> {
  const { whole: read, notices } = await readStudy(folder, new Date());
  for (const notice of notices) io.say(notice);
  const whole = withClipTimes(read);
  const { study } = whole;
  const two = comparedTechniques(study);
  if (!asked && !two) {
    throw new MeasureError(
      "too-few-techniques",
      `${folder} has ${study.techniques.length} techniques`,
      "A comparison needs two techniques. Name them in Plan.",
    );
  }
  const pair = asked ?? { a: two!.a.id, b: two!.b.id };
  const name = (id: string) => study.techniques.find((t) => t.id === id)?.name ?? id;
  if (!asked && !study.compare) {
    io.say(
      `The study does not say which two techniques it compares: ${name(pair.a)} and ${name(pair.b)} are taken, as its question names them or else its first two. --a and --b choose others.`,
    );
  }
  const compare = { a: techniqueId(study, pair.a), b: techniqueId(study, pair.b) };
  const readingOf = measuredOnce(whole);
  const counted = countedReadings(whole, readingOf);
  const meanOf = (trial: string) => {
    const reading = counted(trial);
    if (quantity === "time_s" || !reading.ok) return null;
    const mean = reading.value.trial[quantity];
    return "why" in mean ? null : mean.mean;
  };
  return {
    a: name(compare.a),
    b: name(compare.b),
    rows: study.trials.map((t) => ({
      skater: study.skaters.find((s) => s.id === t.skater)?.name || t.skater,
      technique: name(t.technique),
      order: t.order,
      ...(quantity === "time_s" ? timeValue(t) : { value: meanOf(t.id) }),
      valid: t.valid,
    })),
    worthwhile: quantity === "time_s" ? study.worthwhile : null,
    quantity,
    beam: study.lane.gateBeam,
    sides:
      quantity === "time_s" ? [] : skaterSides(study, [compare.a, compare.b], quantity, "names", counted),
    details: detailWords({ ...whole, study: { ...study, compare } }, quantity, readingOf),
  };
}

function detailWords(whole: WholeStudy, quantity: CompareQuantity, readingOf: ReadingOf): string[] {
  const details = compareDetails(whole, quantity, "names", readingOf);
  if (!details) return [];
  return [
    ...(details.achieved.value === null ? [details.achieved.why] : details.achieved.words),
    ...details.within.flatMap(({ measure, line }) => (line.value === null ? [] : withinWords(line, measure))),
    ...details.within.flatMap(({ measure, repeats }) =>
      repeats.value === null ? [] : [withinTechniqueWords(repeats, measure)],
    ),
    ...details.contradictions,
    ...details.unlike,
    ...(details.many ? manyWords(details.many, quantity) : []),
  ].filter((sentence, i, all) => all.indexOf(sentence) === i);
}

function quantityOption(text: string): CompareQuantity {
  const found = COMPARE_QUANTITIES.find((q) => q === text);
  if (found) return found;
  throw new UsageError(`--quantity must be one of ${COMPARE_QUANTITIES.join(", ")}, not "${text}".`);
}

function techniqueId(study: Study, asked: string): string {
  const found = study.techniques.find((t) => t.id === asked || t.name === asked);
  if (found) return found.id;
  throw unknownTechnique(
    asked,
    study.techniques.map((t) => t.name),
  );
}

function unknownTechnique(asked: string, known: readonly string[]): MeasureError {
  return new MeasureError(
    "unknown-technique",
    `no technique ${asked}; known: ${known.join(", ")}`,
    `There is no technique "${asked}" here. There is ${listed(known)}.`,
  );
}

function listed(names: readonly string[]): string {
  return names.length === 0 ? "none yet" : names.map((n) => `"${n}"`).join(", ");
}

function print(
  { rows, a, b, worthwhile, quantity, beam, sides, details }: Given,
  json: boolean,
  io: Io,
): void {
  const comparison = compareTechniques({ rows, a, b, quantity, worthwhile, beam });
  const { headline, support } = plainWords(comparison);
  if (comparison.n === 0) {
    throw new MeasureError(
      "no-pairs",
      `no skater has usable trials of both ${a} and ${b}`,
      [headline, ...support].join(" "),
    );
  }
  for (const { text } of comparison.warnings) io.say(text);
  for (const { skater, why } of comparison.leftOut) io.say(`${skater} was left out: ${why}.`);
  if (json) {
    const both = sides.length > 0 && { sides: sides.map(sidesJson) };
    io.out(JSON.stringify({ ...compareJson(comparison), ...both }));
    return;
  }
  const { unit } = QUANTITY_WORDS[quantity];
  const sized = (value: number) => withUnit(formatNumber(value, unit === "°" ? 0 : 3), unit);
  const pairs = comparison.pairs.map((p) => {
    const difference =
      p.u95.value === null
        ? `${sized(p.difference)} (${p.u95.why})`
        : formatReading({ value: p.difference, u95: p.u95.value }, unit);
    return `  ${p.skater.padEnd(16)}${sized(p.a)} (${p.nA})  ${sized(p.b)} (${p.nB})  ${difference}, ${p.verdict}: ${p.why}`;
  });
  io.out(
    [
      headline,
      ...support,
      ...details,
      "",
      `  ${"skater".padEnd(16)}mean of ${a}, of ${b} (trials), difference`,
      ...pairs,
      "",
      ...sides.map(sidesText),
      ...(sides.length > 0 ? [""] : []),
      ...numberRows(comparison).map(({ label, text }) => `  ${label}: ${text}`),
    ].join("\n"),
  );
}

function sidesText({ skater, technique, quantity, found }: SkaterSides): string {
  const who = `  ${skater}, ${technique}:`;
  if (found.value === null) return `${who} left and right: ${found.why}`;
  const { left, right, leftMinusRight } = found.value;
  const { unit } = QUANTITY_WORDS[quantity];
  return `${who} left ${formatReading(left, unit)}, right ${formatReading(right, unit)}; ${apartWords(leftMinusRight, quantity)}`;
}

function sidesJson({ skater, technique, found }: SkaterSides): object {
  if (found.value === null) return { skater, technique, value: null, why: found.why };
  const { left, right, leftMinusRight, n, sd } = found.value;
  return { skater, technique, n, left, right, left_minus_right: leftMinusRight, sd_between_trials: sd };
}
