import { type DocumentKind, damaged, type Problem, parseDocument } from "./parseDocument.ts";
import { study as schema } from "./schema.ts";
import type { Study } from "./types.ts";

const KIND: DocumentKind = { format: "blademark.study", version: 1, words: "study" };

/**
 * A study from the plain data of `study.json`. Unknown fields are kept.
 *
 * @throws {MeasureError} `not-this-format`, `newer-version`, `damaged-document` naming each path and what is wrong
 */
export function parseStudy(json: unknown): Study {
  const study: Study = parseDocument(json, KIND, schema);
  const problems = [
    ...repeatedIds(study, "skaters"),
    ...repeatedIds(study, "techniques"),
    ...repeatedIds(study, "trials"),
    ...repeatedIds(study, "clips"),
    ...viewsWithTakenIds(study),
    ...inTwoSetups(study),
    ...study.lane.gates.flatMap((gate, i) =>
      i > 0 && gate <= study.lane.gates[i - 1]!
        ? [{ path: `lane.gates[${i}]`, problem: `${gate} m is not beyond the gate before it` }]
        : [],
    ),
    ...study.trials.flatMap((trial, i) => [
      ...dangling(`trials[${i}].skater`, trial.skater, study.skaters, "skater"),
      ...dangling(`trials[${i}].technique`, trial.technique, study.techniques, "technique"),
      ...(trial.clip === undefined ? [] : dangling(`trials[${i}].clip`, trial.clip, study.clips, "clip")),
      ...(trial.clips ?? []).flatMap(({ clip }, k) =>
        dangling(`trials[${i}].clips[${k}].clip`, clip, study.clips, "clip"),
      ),
    ]),
    ...(study.compare
      ? [
          ...dangling("compare.a", study.compare.a, study.techniques, "technique"),
          ...dangling("compare.b", study.compare.b, study.techniques, "technique"),
        ]
      : []),
  ];
  if (problems.length > 0) throw damaged(KIND, problems);
  return study;
}

function repeatedIds(study: Study, list: "skaters" | "techniques" | "trials" | "clips"): Problem[] {
  const first = new Map<string, number>();
  return study[list].flatMap(({ id }, i) => {
    const before = first.get(id);
    first.set(id, before ?? i);
    return before === undefined
      ? []
      : [{ path: `${list}[${i}].id`, problem: `"${id}" is already ${list}[${before}]` }];
  });
}

/** A further view has an id like a trial's, as its marks are kept like a trial's. */
function viewsWithTakenIds({ trials }: Study): Problem[] {
  const taken = new Set(trials.map(({ id }) => id));
  return trials.flatMap(({ clips = [] }, i) =>
    clips.flatMap(({ id }, k) => {
      if (id === undefined) return [];
      const problem = {
        path: `trials[${i}].clips[${k}].id`,
        problem: `"${id}" is already a trial or a view`,
      };
      if (taken.has(id)) return [problem];
      taken.add(id);
      return [];
    }),
  );
}

/** What a clip is measured through must not hang on which set-up stands first. */
function inTwoSetups({ setups = [] }: Study): Problem[] {
  const first = new Map<string, string>();
  return setups.flatMap(({ trials, name }, i) =>
    trials.flatMap(({ trial }, k) => {
      const before = first.get(trial);
      first.set(trial, before ?? name);
      return before === undefined
        ? []
        : [{ path: `setups[${i}].trials[${k}]`, problem: `"${trial}" is already in the set-up "${before}"` }];
    }),
  );
}

function dangling(
  path: string,
  id: string,
  list: readonly { readonly id: string }[],
  word: string,
): Problem[] {
  return list.some((item) => item.id === id) ? [] : [{ path, problem: `there is no ${word} "${id}"` }];
}
