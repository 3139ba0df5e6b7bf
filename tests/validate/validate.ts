import { isMainThread, parentPort, Worker, workerData } from "node:worker_threads";
import {
  type ArmAnswers,
  addUp,
  answersText,
  missedOfAnswers,
  turnEachAnswer,
} from "./blunders/armAnswers.ts";
import { BLUNDERS } from "./blunders/families.ts";
import { type BlunderRow, blunderRow, blunderTable } from "./blunders/table.ts";
import { BLUNDER_PLACEMENTS } from "./blunders/tryBlunder.ts";
import { PLACEMENTS } from "./placements.ts";
import { table } from "./report.ts";
import { BREAKERS, REGIMES, type Simulated, simulate } from "./simulate.ts";
import { suggestFamily } from "./suggest/family.ts";
import { merge, type Tally } from "./tally.ts";
import { viewsFamily } from "./views/family.ts";
import { wideFamily } from "./views/wide.ts";

interface Share {
  readonly regime: number;
  readonly breakers: boolean;
  readonly part: number;
  readonly parts: number;
  readonly skaters: number;
}

function work({ regime, breakers, part, parts, skaters }: Share): Simulated {
  const trials = function* () {
    for (let k = part; k < skaters * PLACEMENTS.length; k += parts) yield k;
  };
  return simulate((breakers ? BREAKERS : REGIMES)[regime]!, trials(), skaters);
}

if (!isMainThread && parentPort) {
  const given = workerData as Share | BlunderShare | AnswerShare;
  parentPort.postMessage(
    "families" in given ? blunderRows(given) : "answers" in given ? answered(given) : work(given),
  );
}

/** Families of mistakes that one thread tries. */
interface BlunderShare {
  readonly families: readonly number[];
  readonly skaters: number;
}

/** Trials in which one thread turns every answer about an arm. */
interface AnswerShare {
  readonly answers: true;
  readonly part: number;
  readonly parts: number;
  readonly skaters: number;
}

function answered({ part, parts, skaters }: AnswerShare): ArmAnswers {
  const own = BLUNDER_PLACEMENTS.filter((_, k) => k % parts === part);
  return addUp(
    own.flatMap((placement) => Array.from({ length: skaters }, (_, who) => turnEachAnswer(placement, who))),
  );
}

function blunderRows({ families, skaters }: BlunderShare): BlunderRow[] {
  return families.map((at) => blunderRow(at, skaters));
}

function inThread<T>(share: Share | BlunderShare | AnswerShare): Promise<T> {
  return new Promise((done, fail) => {
    const worker = new Worker(new URL(import.meta.url), { workerData: share });
    worker.once("message", done);
    worker.once("error", fail);
  });
}

/**
 * Simulates every regime and prints its table.
 *
 * @param args `--skaters N` (25), `--threads N` (2), `--only N` one way of marking (1 to 5), `--breakers` instead what the intervals do not promise to hold
 *   against, `--blunders` instead what comes of people's mistakes (`--only N` one family, 10 skaters), `--views` instead two cameras at once (60 skaters), `--views-wide` two cameras that stand anywhere (40 skaters, `--only N` one case), `--suggest` instead suggested marks on newly rendered clips (`--only N,N` some of them, `--keep FOLDER` keeps them and what the models saw, so that the next run takes seconds, `--hand N` another hand's errors, `--errors N` the suggestions' own errors N times as large, `--off-beat` instead eight more whose limbs are 20 ms off the contact), `--detail` for every placement, `--whys` for refusals
 * @returns the exit status: 1 when a stated requirement is missed
 */
export async function main(args: readonly string[]): Promise<number> {
  const option = (name: string, otherwise: number) => {
    const at = args.indexOf(name);
    return at < 0 ? otherwise : Number(args[at + 1]);
  };
  const [most, parts] = [option("--skaters", 25), option("--threads", 2)];
  const failed: string[] = [];
  const only = option("--only", 0);
  if (args.includes("--blunders")) {
    const families = BLUNDERS.map((_, at) => at).filter((at) => only === 0 || only === at + 1);
    console.log(await blunders(families, option("--skaters", 10), parts));
    return 0;
  }
  if (args.includes("--suggest")) {
    const keep = args.includes("--keep") ? { keep: args[args.indexOf("--keep") + 1]! } : {};
    const offBeat = args.includes("--off-beat");
    return suggestFamily(listed(args), {
      ...{ ...keep, hand: option("--hand", 0), errors: option("--errors", 1), offBeat },
    });
  }
  if (args.includes("--views-wide")) return wideFamily(option("--skaters", 40), only);
  if (args.includes("--views")) return viewsFamily(option("--skaters", 60));
  const breakers = args.includes("--breakers");
  const regimes = breakers ? BREAKERS : REGIMES;
  for (const [regime, { name, asked, drawn }] of regimes.entries()) {
    if (only > 0 && only !== regime + 1) continue;
    const skaters = Math.min(most, drawn?.skaters ?? most);
    const tally: Tally = new Map();
    const [refusals, whys] = [new Map<string, number>(), new Map<string, number>()];
    let [trials, warned] = [0, 0];
    const began = performance.now();
    const shares = Array.from({ length: parts }, (_, part) => ({ regime, breakers, part, parts, skaters }));
    for (const one of await Promise.all(shares.map(inThread<Simulated>))) {
      merge(tally, one.tally);
      trials += one.trials;
      warned += one.warnedTrials;
      for (const [from, to] of [
        [one.refusedTrials, refusals],
        [one.whys, whys],
      ] as const)
        for (const [why, n] of from) to.set(why, (to.get(why) ?? 0) + n);
    }
    const printed = table(tally, args.includes("--detail"));
    const seconds = ((performance.now() - began) / 1000).toFixed(0);
    console.log(
      `\n${name}: ${trials} trials, ${PLACEMENTS.length} placements x ${skaters} skaters, ${seconds} s\n`,
    );
    console.log(printed.text);
    console.log(`${warned} trials are told that their ice points fit poorly`);
    for (const [why, n] of refusals) console.log(`${n} trials without metres: ${why}`);
    if (args.includes("--whys"))
      for (const [why, n] of [...whys].sort((a, b) => b[1] - a[1])) console.log(`${n}  ${why}`);
    const counts = asked ? printed.failed : printed.failed.filter((what) => what.endsWith("scatter"));
    failed.push(...counts.map((what) => `${name}: ${what}`));
  }
  if (only === 0 && !breakers) failed.push(...(await armAnswers(Math.min(most, 3), parts)));
  console.log(failed.length === 0 ? "\nAll stated requirements are met." : `\nMissed:\n${failed.join("\n")}`);
  return failed.length === 0 ? 0 : 1;
}

/** What one wrong answer about toward or away does to arms, and what of that is not as asked. */
async function armAnswers(skaters: number, parts: number): Promise<string[]> {
  const shares = Array.from({ length: parts }, (_, part) => ({
    answers: true as const,
    part,
    parts,
    skaters,
  }));
  const found = addUp(await Promise.all(shares.map((share) => inThread<ArmAnswers>(share))));
  console.log(`\nOne answer about toward or away wrong: ${answersText(found)}`);
  return missedOfAnswers(found);
}

/** Numbers after `--only`, commas between them. */
function listed(args: readonly string[]): number[] {
  const at = args.indexOf("--only");
  return at < 0 ? [] : (args[at + 1] ?? "").split(",").map(Number);
}

async function blunders(families: readonly number[], skaters: number, parts: number): Promise<string> {
  const shares = Array.from({ length: parts }, (_, part) => families.filter((_, k) => k % parts === part));
  const rows = await Promise.all(shares.map((own) => inThread<BlunderRow[]>({ families: own, skaters })));
  return blunderTable(families.map((_, k) => rows[k % parts]![Math.floor(k / parts)]!));
}
