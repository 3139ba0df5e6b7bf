import { MeasureError } from "../errors.ts";
import { QUANTITY_WORDS } from "../quantities/compared.ts";
import { type Names, typedText } from "./labels.ts";
import { plannedLooks } from "./plannedLooks.ts";
import { sha256 } from "./sha256.ts";
import type { LockedPlan, PlanChange, PlanContent, Study } from "./types.ts";

/** What a study says beforehand, as it stands now. */
export function planContent(study: Study): PlanContent {
  const { question, techniques, compare, worthwhile, skaters, trials, plan = {} } = study;
  const named = (id: string) => techniques.find((t) => t.id === id)?.name ?? id;
  return {
    question,
    techniques: techniques.map(({ name, asked }) => ({ name, asked })),
    compared: compare && { a: named(compare.a), b: named(compare.b) },
    quantity: plan.quantity ?? "time_s",
    worthwhile,
    saidBy: plan.saidBy ?? "",
    skaters: skaters.map((s) => s.code),
    trials: trials.length,
    stopWhen: plan.stopWhen ?? "",
  };
}

/** SHA-256 of the content as JSON with sorted keys, hex. */
export function planHash(content: PlanContent): string {
  return sha256(
    JSON.stringify(content, (_, part: unknown) =>
      part !== null && typeof part === "object" && !Array.isArray(part)
        ? Object.fromEntries(Object.entries(part).sort(([a], [b]) => (a < b ? -1 : 1)))
        : part,
    ),
  );
}

/** What is still to be said before a plan can be locked; empty = it can be. */
export function missingInPlan(study: Study): string[] {
  const { question, techniques, worthwhile, saidBy, skaters, trials, stopWhen } = planContent(study);
  return [
    ...(question.trim() === "" ? ["the question"] : []),
    ...(techniques.length < 2 ? ["two techniques"] : []),
    ...(skaters.length === 0 ? ["the skaters"] : []),
    ...(trials === 0 ? ["the run order"] : []),
    ...(worthwhile === null ? ["what is worth having"] : []),
    ...(saidBy.trim() === "" ? ["who said what is worth having"] : []),
    ...(stopWhen.trim() === "" ? ["when to stop"] : []),
  ];
}

const timed = ({ trials }: Study) => trials.filter((t) => t.time !== null || t.timedBy !== undefined).length;

/**
 * The study with its plan locked.
 *
 * @param date ISO 8601, UTC
 * @throws {MeasureError} `plan-too-late` once there is a time, `plan-incomplete`, `plan-locked`
 */
export function lockPlan(study: Study, date: string): Study {
  if (study.plan?.locked)
    throw new MeasureError("plan-locked", "lockPlan: locked already", "The plan is locked already.");
  if (timed(study) > 0)
    throw new MeasureError(
      "plan-too-late",
      `lockPlan: ${timed(study)} trials have a time`,
      "Times are in already, so this can no longer be a plan made before the first of them. Lock the next evening's.",
    );
  const missing = missingInPlan(study);
  if (missing.length > 0)
    throw new MeasureError(
      "plan-incomplete",
      `lockPlan: missing ${missing.join(", ")}`,
      `Before the plan is locked it needs ${listed(missing)}.`,
    );
  const content = planContent(study);
  return {
    ...study,
    plan: { ...study.plan, locked: { date, content, hash: planHash(content), changes: [] } },
  };
}

/** What differs between two contents, part by part. */
function differences(before: PlanContent, after: PlanContent): Pick<PlanChange, "part" | "from" | "to">[] {
  return (Object.keys(before) as (keyof PlanContent)[]).flatMap((part) =>
    JSON.stringify(before[part]) === JSON.stringify(after[part])
      ? []
      : [{ part, from: before[part], to: after[part] }],
  );
}

/**
 * A study after something was done to it, with what that changed of its locked plan noted. A change of the same part
 * while no further time came in is one change; taken back, none.
 *
 * @param date ISO 8601, UTC
 */
export function withPlanChanges(before: Study, after: Study, date: string): Study {
  const { locked } = after.plan ?? {};
  if (!locked || !before.plan?.locked || before === after) return after;
  const found = differences(planContent(before), planContent(after));
  if (found.length === 0) return after;
  const afterTrials = timed(before);
  let changes = locked.changes;
  for (const { part, from, to } of found) {
    const last = changes.find((c) => c.part === part && c.afterTrials === afterTrials);
    const others = changes.filter((c) => c !== last);
    const first = last ? last.from : from;
    const back = JSON.stringify(first) === JSON.stringify(to);
    changes = back ? others : [...others, { part, from: first, to, afterTrials, date }];
  }
  return { ...after, plan: { ...after.plan, locked: { ...locked, changes } } };
}

/** What a report says of the plan: when it was locked, what was changed since, whether somebody looks early. Empty without one. */
export function planWords(study: Study, names: Names): string[] {
  const { locked } = study.plan ?? {};
  if (!locked) return [];
  const words = [lockedWords(locked), ...changeWords(study, locked)].join(" ");
  const early = earlyWords(study, locked);
  return [typedText(study, words, names), ...(early === null ? [] : [early])];
}

function lockedWords({ date, hash, content }: LockedPlan): string {
  if (planHash(content) !== hash)
    return `The plan of ${dayText(date)} is not as it was locked: its mark is ${planHash(content).slice(0, 8)} now and was ${hash.slice(0, 8)}. Do not rely on it.`;
  return `The plan was locked on ${dayText(date)}, before the first time (${hash.slice(0, 8)}).`;
}

function changeWords(study: Study, locked: LockedPlan): string[] {
  const changes = locked.changes.map((c) => `${partWords(c)} ${afterWords(c.afterTrials)}`);
  // What a file says that was edited elsewhere nobody has noted.
  const last = (part: keyof PlanContent) => {
    const change = locked.changes.findLast((c) => c.part === part);
    return change ? change.to : locked.content[part];
  };
  const now = planContent(study);
  const unnoted = (Object.keys(now) as (keyof PlanContent)[])
    .filter((part) => JSON.stringify(last(part)) !== JSON.stringify(now[part]))
    .map((part) => `${partWords({ part, from: last(part), to: now[part] })}, nobody noted when`);
  const all = [...changes, ...unnoted];
  return all.length === 0 ? ["Nothing in it was changed since."] : [`Changed since: ${all.join("; ")}.`];
}

/** What it costs to decide before all that was planned is in. */
function earlyWords(study: Study, { content }: LockedPlan): string | null {
  const [n, of] = [timed(study), content.trials];
  if (n === 0 || n >= of) return null;
  const two = plannedLooks(2);
  return `Looking early: ${n} of ${of} planned trials have a time. Who stops as soon as it looks clear finds a difference where there is none more often than the p-values say; decide when all are in. Where two looks were planned beforehand, each may count only a sign-flip p of ${two.p} or less, which takes ${two.skaters} skaters who all agree, or more.`;
}

const PARTS: Readonly<Record<keyof PlanContent, string>> = {
  question: "the question",
  techniques: "the techniques or what is asked of them",
  compared: "what is compared",
  quantity: "what is compared first",
  worthwhile: "worth having",
  saidBy: "who said what is worth having",
  skaters: "the skaters",
  trials: "the number of trials",
  stopWhen: "when to stop",
};

/** "worth having 0.02 → 0.04 s" */
export function partWords({ part, from, to }: Pick<PlanChange, "part" | "from" | "to">): string {
  // Of what was asked there is too much to say in a sentence; who said something is named in no report.
  if (part === "techniques" || part === "saidBy") return PARTS[part];
  return `${PARTS[part]} ${valueWords(part, from)} → ${valueWords(part, to)}${part === "worthwhile" ? " s" : ""}`;
}

function valueWords(part: keyof PlanContent, value: unknown): string {
  if (value === null || value === "") return "not said";
  if (part === "quantity") return QUANTITY_WORDS[value as PlanContent["quantity"]]?.name ?? String(value);
  if (part === "compared") {
    const { a, b } = value as { readonly a: unknown; readonly b: unknown };
    return `${b} against ${a}`;
  }
  if (Array.isArray(value)) return value.length === 0 ? "none" : value.join(", ");
  return typeof value === "string" ? `“${value}”` : String(value);
}

function afterWords(trials: number): string {
  if (trials === 0) return "before the first time";
  return trials === 1 ? "after one trial" : `after ${COUNTS[trials] ?? trials} trials`;
}

const COUNTS = [
  "",
  "",
  "two",
  "three",
  "four",
  "five",
  "six",
  "seven",
  "eight",
  "nine",
  "ten",
  "eleven",
  "twelve",
];

const MONTHS = "January February March April May June July August September October November December".split(
  " ",
);

/** "14 January 2027" from a day or a moment as ISO 8601 writes it; anything else as it stands. */
export function dayText(date: string): string {
  const [, year, month, day] = /^(\d{4})-(\d\d)-(\d\d)/.exec(date) ?? [];
  const name = MONTHS[Number(month) - 1];
  return name === undefined ? date : `${Number(day)} ${name} ${year}`;
}

/** What was noted of the evening, one sentence; null where nothing was. Under codes nobody is named. */
export function eveningWords(study: Study, names: Names): string | null {
  const { ice, airC, blades, stick, timedBy } = study.conditions ?? {};
  const said = [
    ...(study.date ? [dayText(study.date)] : []),
    ...(ice ? [`ice ${ice}`] : []),
    ...(airC === undefined ? [] : [`air ${String(airC).replace("-", "−")} °C`]),
    ...(blades ? [`blades ${blades}`] : []),
    ...(stick ? [`stick: ${stick}`] : []),
    ...(timedBy && names === "names" ? [`timed by ${timedBy}`] : []),
  ];
  return said.length === 0 ? null : typedText(study, `${said.join("; ")}.`, names);
}

function listed(items: readonly string[]): string {
  return items.length < 2 ? items.join("") : `${items.slice(0, -1).join(", ")} and ${items.at(-1)}`;
}
