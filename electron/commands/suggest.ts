import { resolve } from "node:path";
import { MeasureError } from "../../src/errors.ts";
import { trialLabel } from "../../src/study/labels.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { canJudge, comesNearer, type Judged, judgeTrial } from "../../src/suggest/judge.ts";
import { suggestText } from "../../src/suggest/suggestJson.ts";
import type { Suggestions } from "../../src/suggest/suggestTrial.ts";
import { emptyMarks } from "../../src/trials/trialInput.ts";
import { tenths, withFilmTools } from "../film/filmTools.ts";
import type { FilmTools } from "../film/writeFilm.ts";
import { eyesOn, type SuggestHooks, suggestStudyTrial } from "../suggest/suggestStudy.ts";
import { readStudy } from "../vault/openStudy.ts";
import { type Command, UsageError } from "./Command.ts";
import { readArgs } from "./options.ts";

export const suggest: Command = {
  does: "marks and events that could be taken over, learned from the strides marked by hand",
  help: `blademark suggest STUDY TRIAL [--json]
blademark suggest --judge STUDY [--json]

What would be suggested for the rest of a trial from what is marked on it so far. Nothing is written: a suggestion is no
mark before a person has looked at it, magnified, and taken or moved it.

  --judge   for every trial marked by hand: what would have been suggested against what was marked
  --json    for other programs`,
  async run(args, io) {
    const { values, positionals } = readArgs(
      args,
      { judge: { type: "boolean" }, json: { type: "boolean" } },
      [1, 2],
    );
    const [folder = "", trial] = positionals;
    if (values.judge ? trial !== undefined : trial === undefined)
      throw new UsageError(values.judge ? "--judge takes a STUDY alone." : "Which trial? Give STUDY TRIAL.");
    const study = resolve(folder);
    const { whole, notices } = await readStudy(study, new Date());
    for (const notice of notices) io.say(notice);
    return withFilmTools(whole.study, study, async (tools, signal) => {
      const hooks = (): SuggestHooks => ({ onProgress: tenths(io.say), signal });
      if (trial !== undefined) {
        const confirmed = whole.marks[trial] ?? emptyMarks(trial);
        const found = await suggestStudyTrial(whole, trial, confirmed, tools, hooks());
        io.out(values.json ? suggestText(trial, found) : inWords(found));
        return 0;
      }
      const { judged, failed } = await judgeTrials(whole, tools, hooks, io.say);
      io.out(
        values.json
          ? JSON.stringify(
              { format: "blademark.suggest-judged", version: 1, trials: judged.map(summary) },
              null,
              2,
            )
          : judged.map((j) => tableOf(j)).join("\n\n") || "No trial of this study could be judged.",
      );
      return failed > 0 ? 1 : 0;
    });
  },
};

interface JudgedTrial {
  readonly trial: string;
  readonly judged: readonly Judged[];
}

/** Every marked trial, one after the other; what keeps one from being judged is said, and the others go on. */
async function judgeTrials(
  whole: WholeStudy,
  tools: FilmTools,
  hooks: () => SuggestHooks,
  say: (text: string) => void,
): Promise<{ judged: JudgedTrial[]; failed: number }> {
  const judged: JudgedTrial[] = [];
  let failed = 0;
  for (const id of markedTrials(whole)) {
    const hand = whole.marks[id]!;
    const label = trialLabel(whole.study, id, "names");
    if (!canJudge(hand)) {
      say(`${label} has no more than two strides of a side marked: there is nothing to judge by.`);
      continue;
    }
    try {
      const eyes = await eyesOn(whole, id, hand, tools, hooks());
      judged.push({
        trial: id,
        judged: await judgeTrial(hand, eyes.realInterval, eyes, comesNearer(hand)),
      });
      say(`${label} is judged.`);
    } catch (error) {
      if (!(error instanceof MeasureError) || OF_ALL.includes(error.code)) throw error;
      failed++;
      say(`${label}: ${error.coach}`);
    }
  }
  return { judged, failed };
}

/** What no other trial would fare better with. */
const OF_ALL = ["cancelled", "model-missing", "model-changed"];

/** Trials with a clip and enough marks for something to be left to suggest. */
function markedTrials({ study, marks }: WholeStudy): string[] {
  return study.trials
    .filter((t) => t.clip !== undefined && (marks[t.id]?.marks.length ?? 0) > 0)
    .map((t) => t.id);
}

function inWords({ taught, events, points, refused }: Suggestions): string {
  const strides = taught.left === 1 ? "stride" : "strides";
  const lines = [`Marked by hand: ${taught.left} ${strides} of the left side, ${taught.right} of the right.`];
  for (const e of events)
    lines.push(`frame ${e.frame}  ${e.event} ${e.side}, give or take ${e.sdFrames.toFixed(1)} frames`);
  for (const p of points)
    lines.push(
      `frame ${p.frame}  ${p.point} ${p.side}  ${p.xPx.toFixed(1)}, ${p.yPx.toFixed(1)} px, SD ${p.uPx.toFixed(1)} px (${p.from})`,
    );
  for (const r of refused)
    lines.push(
      `${r.frame === undefined ? "" : `frame ${r.frame}  `}not suggested${r.side ? `, ${r.side}` : ""}: ${r.why}`,
    );
  return lines.join("\n");
}

/** Over this a suggested point harms, px. [docs/suggested-marks.md] */
const FAR_PX = 3;

function summary({ trial, judged }: JudgedTrial) {
  const events = judged.flatMap((j) => (j.framesOff === null ? [] : [j.framesOff]));
  const points = judged.flatMap((j) => j.points);
  const kinds = [...new Set(points.map((p) => p.point))];
  return {
    trial,
    events: {
      marked: judged.length,
      suggested: events.length,
      right: events.filter((d) => d === 0).length,
      within_one: events.filter((d) => Math.abs(d) <= 1).length,
    },
    points: kinds.map((point) => {
      const of = points.filter((p) => p.point === point);
      return {
        point,
        suggested: of.length,
        over_3_px: of.filter((p) => p.offPx > FAR_PX).length,
        rms_px: Math.round(10 * Math.sqrt(of.reduce((s, p) => s + p.offPx ** 2, 0) / of.length / 2)) / 10,
        stated_u_px: Math.round((10 * of.reduce((s, p) => s + p.uPx, 0)) / of.length) / 10,
      };
    }),
    points_withheld: judged.reduce((s, j) => s + j.withheld, 0),
  };
}

function tableOf(one: JudgedTrial): string {
  const { trial, events, points, points_withheld } = summary(one);
  return [
    `${trial}: of ${events.marked} events ${events.suggested} suggested, ${events.right} in the very frame, ${events.within_one} within one`,
    ...points.map(
      (p) =>
        `  ${p.point.padEnd(12)}${String(p.suggested).padStart(4)} suggested, ${p.over_3_px} over 3 px; ${p.rms_px} px a coordinate where ${p.stated_u_px} px was stated`,
    ),
    `  ${points_withheld} points were not suggested`,
  ].join("\n");
}
