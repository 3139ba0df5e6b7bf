import type { TrialMean, TrialReadings } from "../../kinematics/types.ts";
import { STRIDE_QUANTITIES, TRIAL_QUANTITIES } from "../../quantities/catalogue.ts";
import type { Reading } from "../../reading.ts";
import type { Names } from "../../study/labels.ts";
import { viewsOf } from "../../study/trialViews.ts";
import type { WholeStudy } from "../../study/types.ts";
import { soundOf } from "../../trials/keptSound.ts";
import { measuredTrial } from "../../trials/measuredViews.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import type { LagFound } from "../../views/sound/soundLag.ts";
import type { SoundSummary } from "../../views/types.ts";
import { markedTables } from "./markedTables.ts";
import { referenceCells } from "./measuredTables.ts";
import { OF_TRIAL, TRIAL } from "./peopleTables.ts";
import { type Cell, number, type Table, text, whole } from "./table.ts";

type Keys = ReadonlyMap<string, string>;

const VIEW = text("view", "key of `views`", { required: true });

/**
 * Where trials have more than one measured view: `views`, how each stands to the first; `given`, which views gave each number;
 * and what was marked on the further ones, as `marks`, `events` … but `view_marks`, `view_events` …. None otherwise.
 */
export function viewsTables(study: WholeStudy, names: Names, readingOf: ReadingOf, keys: Keys): Table[] {
  const several = study.study.trials.filter((trial) => viewsOf(trial).length > 1);
  if (several.length === 0) return [];
  const viewKeys = new Map(
    several.flatMap((trial) =>
      viewsOf(trial).map(({ id }, v) => [id, `${keys.get(trial.id) ?? trial.id}, view ${v + 1}`] as const),
    ),
  );
  return [
    viewsTable(study, names, keys, viewKeys),
    givenTable(study, readingOf, keys),
    ...marked(study, names, viewKeys),
  ];
}

function viewsTable(study: WholeStudy, names: Names, keys: Keys, viewKeys: Keys): Table {
  const several = study.study.trials
    .filter((trial) => viewsOf(trial).length > 1)
    .map((trial) => ({
      trial,
      measured: study.marks[trial.id]?.picture ? measuredTrial(study, trial) : null,
    }));
  const isHeard = several.some(({ measured }) => measured?.views.some(({ sound }) => sound));
  return {
    name: "views",
    title: "Views of trials that more than one camera filmed, and how their clocks lie to the first's",
    key: ["view"],
    refersTo: OF_TRIAL,
    columns: [
      VIEW,
      TRIAL,
      whole("number", "1 is the first view, whose clock and frames count", { required: true }),
      number("speed_factor", "clip seconds per real second", ""),
      whole("picture_width_px", "picture as displayed", { unit: "px" }),
      whole("picture_height_px", "picture as displayed", { unit: "px" }),
      number("frame_interval_s", "median time between frames, clip seconds", "s"),
      text("scale", "kind of ice reference"),
      whole("scale_points", "points or lengths of the ice reference"),
      number("scale_rms_px", "misfit of the ice reference", "px"),
      number("offset_s", "added to its clock to give the first view's, at `at_s` of its own", "s"),
      number("offset_s_u95", "half-width of the 95 % interval", "s"),
      number("at_s", "real seconds of its own clock", "s"),
      number("rate", "seconds of the first view's clock in one of its own", ""),
      number("rate_u95", "half-width of the 95 % interval", ""),
      whole("shared_strides", "strides that it and the first view show"),
      text("id", "what the study calls it; blank under codes"),
      number("lens_k1", "radial lens coefficient given by hand", ""),
      number("lens_k2", "radial lens coefficient given by hand", ""),
      number("readout_share", "as in `trials`", ""),
      text("scale_copied_from", "as in `trials`"),
      ...(isHeard ? [...HEARD, ...SOUND] : []),
    ],
    rows: several.flatMap(({ trial, measured }): Cell[][] =>
      viewsOf(trial).map((view, v): Cell[] => {
        const { id, speedFactor } = view;
        const { picture, iceReference = null } = study.marks[id] ?? {};
        const at = measured?.ids.indexOf(id) ?? -1;
        const found = measured?.views[at];
        return [
          viewKeys.get(id)!,
          keys.get(trial.id) ?? trial.id,
          v + 1,
          speedFactor,
          picture?.width,
          picture?.height,
          picture?.frameInterval,
          found?.scale?.kind,
          found?.scale?.points,
          found?.scale?.rmsPx,
          ...(found
            ? [found.offset.value, found.offset.u95, found.at, found.rate.value, found.rate.u95, found.shared]
            : [null, null, null, null, null, null]),
          names === "names" ? id : null,
          ...referenceCells(iceReference, keys),
          ...(isHeard ? heardCells(v === 0 ? null : soundOf(study, trial, view)) : []),
          ...(isHeard ? soundCells(found?.sound) : []),
        ];
      }),
    ),
  };
}

/** Only where somebody listened to clips. */
const SOUND = [
  number(
    "sound_offset_s",
    "as `offset_s`, by what both clips let hear alone, at `sound_at_s` of its own",
    "s",
  ),
  number("sound_offset_s_u95", "half-width of the 95 % interval", "s"),
  number("sound_at_s", "real seconds of its own clock", "s"),
  whole("sound_events", "blade-offs and blade-ons that tie the clocks as well"),
  text(
    "sound_used",
    "`yes`: it counts for the tie; `no`: it speaks against the events; else why it does not tell",
  ),
];

/** What was heard, from which `measure --tables` ties the clocks again. */
const HEARD = [
  number("heard_offset_s", "as `sound_offset_s`, as the sound has it", "s"),
  number("heard_sd_s", "standard uncertainty by the sound alone", "s"),
  number("heard_at_s", "seconds of its own clip", "s"),
  number("heard_overlap_s", "so much of both is heard together", "s"),
  number("heard_rate", "seconds of the first view's clip in one of its own, where the sound tells it", ""),
  number("heard_rate_sd", "standard uncertainty", ""),
  number("heard_rate_over_s", "so many seconds it was told over", "s"),
  text("heard_why_not", "why the sound does not tell"),
];

function heardCells(found: LagFound | null): Cell[] {
  if (!found) return HEARD.map(() => null);
  if (!found.lag) return [...HEARD.slice(1).map(() => null), found.why];
  const { offset, sd, at, overlap, rate } = found.lag;
  return [offset, sd, at, overlap, rate?.value, rate?.sd, rate?.seconds, null];
}

function soundCells(sound: SoundSummary | undefined): Cell[] {
  if (!sound) return [null, null, null, null, null];
  if ("value" in sound) return [null, null, null, null, sound.why];
  const { offset, at, events, used } = sound;
  return [offset.value, offset.u95, at, events, used ? "yes" : "no"];
}

/** `given`: which views gave a number, of trials measured by several. */
function givenTable({ study }: WholeStudy, readingOf: ReadingOf, keys: Keys): Table {
  return {
    name: "given",
    title: "Which views gave each number, where several were measured together",
    refersTo: OF_TRIAL,
    columns: [
      TRIAL,
      whole("stride", "blank: the trial's mean"),
      text("quantity", "column of `strides` or `trials`", { required: true }),
      text(
        "views",
        "numbers of the views whose marks, events or scale make up a hundredth or more of its variance",
        {
          required: true,
        },
      ),
    ],
    rows: study.trials.flatMap((trial): Cell[][] => {
      const reading = readingOf(trial.id);
      if (!reading.ok) return [];
      const key = keys.get(trial.id) ?? trial.id;
      return given(reading.value).map(([stride, quantity, views]) => [
        key,
        stride,
        quantity,
        views.join(" "),
      ]);
    }),
  };
}

function given(
  readings: TrialReadings,
): [stride: number | null, quantity: string, views: readonly number[]][] {
  const of = (stride: number | null, quantity: string, { views }: { readonly views?: readonly number[] }) =>
    views ? [[stride, quantity, views] as [number | null, string, readonly number[]]] : [];
  const reading = (stride: number, quantity: string, r: Reading) =>
    r.value === null ? [] : of(stride, quantity, r);
  const mean = (quantity: string, m: TrialMean) => ("mean" in m ? of(null, quantity, m) : []);
  return [
    ...TRIAL_QUANTITIES.flatMap((q) => mean(q, readings.trial[q])),
    ...readings.strides.flatMap((s) => [
      ...STRIDE_QUANTITIES.flatMap((q) => reading(s.stride, q, s.readings[q])),
      ...(["left", "right"] as const).flatMap((side) => [
        ...reading(s.stride, `arm_swing_direction_deg_${side}`, s.armSwingDirectionDeg[side]),
        ...reading(s.stride, `arm_swing_angle_deg_${side}`, s.armSwingAngleDeg[side]),
      ]),
      ...reading(s.stride, "along_track_speed_m_s", s.alongTrackSpeed),
    ]),
  ];
}

/** What was marked on the further views: the first's stands among the trials' own. */
function marked(study: WholeStudy, names: Names, viewKeys: Keys): Table[] {
  const further = study.study.trials.flatMap((trial) => viewsOf(trial).slice(1));
  const tables = markedTables({ ...study, study: { ...study.study, trials: further } }, names, viewKeys);
  return tables
    .filter(({ rows }) => rows.length > 0)
    .map((table): Table => {
      const [, ...columns] = table.columns;
      return {
        ...table,
        name: `view_${table.name}`,
        title: `${table.title}, of further views`,
        ...(table.key && { key: table.key.map((column) => (column === "trial" ? "view" : column)) }),
        refersTo: [{ column: "view", table: "views", key: "view" }],
        columns: [VIEW, ...columns],
      };
    });
}
