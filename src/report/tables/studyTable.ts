import { type Names, techniqueLabels, typedText } from "../../study/labels.ts";
import { planWords } from "../../study/lockedPlan.ts";
import type { WholeStudy } from "../../study/types.ts";
import { number, type Table, text, whole } from "./table.ts";

/** `study`: one row, the evening and what was decided beforehand. Under codes nobody is named. */
export function studyTable({ study }: WholeStudy, names: Names): Table {
  const { lane, conditions = {}, plan, compare, runOrder, worthwhile } = study;
  const typed = (words: string | undefined) => (words ? typedText(study, words, names) : null);
  const techniques = techniqueLabels(study);
  const named = (id: string | undefined) => (id === undefined ? null : typed(techniques.get(id) ?? id));
  const said = (word: string) => (word === "not said" ? null : word);
  return {
    name: "study",
    title: "The evening, and what was decided beforehand",
    key: ["question"],
    columns: [
      text("question", "as typed in Plan", { required: true }),
      text("date", "the evening, YYYY-MM-DD"),
      text("ice", "as typed"),
      number("air_c", "temperature of the air beside the ice", "°C"),
      text("blades", "hollow and sharpening, as typed"),
      text("stick", "as typed"),
      text("timed_by", "empty where skaters are shown by codes"),
      number("distance_m", "start line to finish line", "m"),
      text("gates", "photocells along the lane, metres from the start line, with semicolons between"),
      text("gate_beam", "single or dual"),
      text("start", "standing or flying"),
      text("a", "technique the other one is compared with"),
      text("b", "technique compared"),
      number("worthwhile_s", "smallest difference in time worth having", "s"),
      whole("repeats", "trials of each technique a skater, as the run order was made"),
      whole("seed", "of the run order"),
      text("plan_locked", "when the plan was locked, ISO 8601; empty where it was not"),
      text("plan_hash", "SHA-256 of the locked plan"),
      text("plan_said", "what was changed since, in words"),
    ],
    rows: [
      [
        typed(study.question) ?? "",
        study.date ?? null,
        typed(conditions.ice),
        conditions.airC,
        typed(conditions.blades),
        typed(conditions.stick),
        names === "names" ? (conditions.timedBy ?? null) : null,
        lane.distance > 0 ? lane.distance : null,
        lane.gates.length > 0 ? lane.gates.join(";") : null,
        said(lane.gateBeam),
        said(lane.start),
        named(compare?.a),
        named(compare?.b),
        worthwhile,
        runOrder?.repeats,
        runOrder?.seed,
        plan?.locked?.date ?? null,
        plan?.locked?.hash ?? null,
        planWords(study, names)[0] ?? null,
      ],
    ],
  };
}
