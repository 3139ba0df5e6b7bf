import type { SideMean, Stride, TrialMean, TrialReadings } from "../../kinematics/types.ts";
import {
  entryOf,
  isOfArm,
  STRIDE_QUANTITIES,
  TRIAL_QUANTITIES,
  type TrialQuantity,
} from "../../quantities/catalogue.ts";
import type { Reading } from "../../reading.ts";
import { type Names, skaterLabels, techniqueLabels, typedText } from "../../study/labels.ts";
import type { TimedWhole } from "../../study/timed.ts";
import type { IceReference, WholeStudy } from "../../study/types.ts";
import { type ReadingOf, trialAsAsked } from "../../trials/techniqueCheck.ts";
import { K95 } from "../../uncertainty/uncertain.ts";
import { OF_TRIAL, SIDE, STRIDE, TRIAL, VALID } from "./peopleTables.ts";
import { readingCells, strideColumns, unitOf } from "./quantityColumns.ts";
import { type Cell, type Column, number, type Table, text, whole } from "./table.ts";

/** What is measured beside the stride quantities: each arm by itself, and the speed. */
const EXTRA: readonly {
  readonly name: string;
  readonly what: string;
  readonly unit: string;
  stride(s: Stride): Reading;
  mean(r: TrialReadings): TrialMean;
}[] = [
  ...(["left", "right"] as const).flatMap((side) => [
    {
      name: `arm_swing_direction_deg_${side}`,
      what: "0 = straight along, 90 = across",
      unit: "°",
      stride: (s: Stride) => s.armSwingDirectionDeg[side],
      mean: (r: TrialReadings) => r.arms.directionDeg[side],
    },
    {
      name: `arm_swing_angle_deg_${side}`,
      what: "between the arm's two extremes",
      unit: "°",
      stride: (s: Stride) => s.armSwingAngleDeg[side],
      mean: (r: TrialReadings) => r.arms.angleDeg[side],
    },
  ]),
  {
    name: "along_track_speed_m_s",
    what: "along the track, around a stride",
    unit: "m/s",
    stride: (s) => s.alongTrackSpeed,
    mean: (r) => r.alongTrackSpeed,
  },
];

function meanColumns(name: string, means: string, unit: string): Column[] {
  return [
    number(name, means, unit),
    number(`${name}_u95`, "half-width of the mean's 95 % interval", unit),
    number(`${name}_sd`, "SD between strides", unit),
    whole(`${name}_n`, "strides in the mean"),
  ];
}

/** Each side's mean and how far they differ; each arm's own mean stands among `EXTRA`. */
function sideColumns(quantity: TrialQuantity): Column[] {
  const unit = unitOf(quantity);
  const two = (name: string, what: string) => [
    number(`${quantity}_${name}`, what, unit),
    number(`${quantity}_${name}_u95`, "half-width of its 95 % interval", unit),
  ];
  return [
    ...(isOfArm(quantity)
      ? []
      : [...two("left", "mean of the left side"), ...two("right", "mean of the right side")]),
    ...two("left_minus_right", "mean of left minus mean of right; what both share is counted once"),
  ];
}

function sideCells(quantity: TrialQuantity, mean: TrialMean | undefined): Cell[] {
  const none = { value: null } as const;
  const had = mean && "mean" in mean ? mean : null;
  const side = (of: SideMean | undefined): Cell[] => (of && "mean" in of ? [of.mean, of.u95] : [null, null]);
  const apart = had?.leftMinusRight ?? none;
  return [
    ...(isOfArm(quantity) ? [] : [...side(had?.left), ...side(had?.right)]),
    ...(apart.value === null ? [null, null] : [apart.value, apart.u95]),
  ];
}

function meanCells(mean: TrialMean | undefined): Cell[] {
  return mean && "mean" in mean ? [mean.mean, mean.u95, mean.sd, mean.n] : [null, null, null, null];
}

/** `trials`: each timed trial with what it was measured from and its means. */
export function trialsTable(
  { study, marks }: TimedWhole,
  names: Names,
  readingOf: ReadingOf,
  keys: ReadonlyMap<string, string>,
): Table {
  const [skaters, techniques] = [skaterLabels(study, names), techniqueLabels(study)];
  return {
    name: "trials",
    title: "Every trial: its time, what it was measured from, and its means over strides",
    key: ["trial"],
    refersTo: [{ column: "skater", table: "skaters", key: "skater" }],
    columns: [
      TRIAL,
      whole("order", "place in the run order", { required: true }),
      text("skater", "key of `skaters`", { required: true }),
      text("technique", "as in `techniques`", { required: true }),
      whole("repeat", "1, 2 … within skater and technique", { required: true }),
      number("time_s", "by photocells, or as time_from says; blank = not skated", "s"),
      text("time_from", "what timed it", { choices: ["photocells", "clip"] }),
      number("time_s_u95", "half-width of the 95 % interval of a time by a clip", "s"),
      VALID,
      text("as_asked", "does it show the technique asked for", { choices: ["yes", "no", "can't tell"] }),
      text("as_asked_why", "why"),
      text("note", "what was noted"),
      number("speed_factor", "clip seconds per real second", ""),
      whole("picture_width_px", "picture as displayed", { unit: "px" }),
      whole("picture_height_px", "picture as displayed", { unit: "px" }),
      number("frame_interval_s", "median time between frames, clip seconds", "s"),
      number("lens_k1", "radial lens coefficient given by hand", ""),
      number("lens_k2", "radial lens coefficient given by hand", ""),
      number(
        "readout_share",
        "of the time between frames, what the camera takes from a frame's first row to its last, as stated",
        "",
      ),
      number("mark_sd_stated_px", "standard uncertainty of one mark, as the study says", "px"),
      number(
        "mark_sd_px",
        "the same as reckoned with: from points marked again where there are enough",
        "px",
      ),
      text("scale", "kind of ice reference"),
      whole("scale_points", "points or lengths of the ice reference"),
      number("scale_rms_px", "misfit of the ice reference", "px"),
      ...TRIAL_QUANTITIES.flatMap((q) => meanColumns(q, `mean over strides: ${entryOf(q).name}`, unitOf(q))),
      ...EXTRA.flatMap(({ name, what: means, unit }) => meanColumns(name, `mean: ${means}`, unit)),
      ...TRIAL_QUANTITIES.flatMap(sideColumns),
      text("scale_copied_from", "trial whose ice reference this one is, as nobody has looked at it here yet"),
    ],
    rows: study.trials
      .slice()
      .sort((a, b) => a.order - b.order)
      .map((trial): Cell[] => {
        const technique = study.techniques.find((t) => t.id === trial.technique);
        const picture = marks[trial.id]?.picture;
        const [k1, k2, share, copied] = referenceCells(marks[trial.id]?.iceReference ?? null, keys);
        const reading = readingOf(trial.id);
        const readings = reading.ok ? reading.value : null;
        const asked = technique && trialAsAsked(trial, technique, readingOf);
        return [
          keys.get(trial.id) ?? trial.id,
          trial.order,
          skaters.get(trial.skater) ?? trial.skater,
          typedText(study, techniques.get(trial.technique) ?? trial.technique, names),
          trial.repeat,
          trial.time,
          trial.time === null ? null : trial.clipSd === undefined ? "photocells" : "clip",
          trial.clipSd === undefined ? null : K95 * trial.clipSd,
          trial.valid,
          asked?.answer,
          asked?.why,
          typedText(study, trial.note ?? "", names),
          trial.speedFactor,
          picture?.width,
          picture?.height,
          picture?.frameInterval,
          k1,
          k2,
          share,
          study.markSdPx,
          readings?.marking.blades.sdPx,
          readings?.scale?.kind,
          readings?.scale?.points,
          readings?.scale?.rmsPx,
          ...TRIAL_QUANTITIES.flatMap((q) => meanCells(readings?.trial[q])),
          ...EXTRA.flatMap(({ mean }) => meanCells(readings ? mean(readings) : undefined)),
          ...TRIAL_QUANTITIES.flatMap((q) => sideCells(q, readings?.trial[q])),
          copied,
        ];
      }),
  };
}

/** What is said of an ice reference beside its points: the lens, the readout, whose copy it is. */
export function referenceCells(
  reference: IceReference | null,
  keys: ReadonlyMap<string, string>,
): [k1: Cell, k2: Cell, readoutShare: Cell, copiedFrom: Cell] {
  const lens = reference && reference.kind !== "known-lengths" ? reference.lens : undefined;
  const share = reference?.kind === "ice-points-by-frame" ? reference.readoutShare : undefined;
  const copied = reference?.copiedFrom;
  return [lens?.k1, lens?.k2, share, copied === undefined ? undefined : (keys.get(copied) ?? "a trial")];
}

/** `strides`: one push a row. */
export function stridesTable(
  { study }: WholeStudy,
  readingOf: ReadingOf,
  keys: ReadonlyMap<string, string>,
): Table {
  return {
    name: "strides",
    title: "Every stride: one push, ending at that blade's blade-off",
    key: ["trial", "stride"],
    refersTo: OF_TRIAL,
    columns: [
      TRIAL,
      STRIDE,
      SIDE,
      whole("blade_off_frame", "last frame in which the pushing blade touches the ice", { required: true }),
      whole("blade_on_frame", "first frame in which the recovering blade touches the ice"),
      number("blade_off_x_m", "blade point at blade-off, along the lane from the start line", "m"),
      number("blade_off_y_m", "blade point at blade-off, to the skater's left of the lane's middle", "m"),
      number("blade_on_x_m", "blade point at blade-on, along the lane", "m"),
      number("blade_on_y_m", "blade point at blade-on, to the left", "m"),
      ...STRIDE_QUANTITIES.flatMap(strideColumns),
      ...EXTRA.flatMap(({ name, what: means, unit }) => [
        number(name, means, unit),
        number(`${name}_u95`, "half-width of the 95 % interval", unit),
      ]),
    ],
    rows: measured(study, readingOf).flatMap(({ id, readings }) =>
      readings.strides.map((s): Cell[] => [
        keys.get(id) ?? id,
        s.stride,
        s.side,
        s.blade_off_frame,
        s.blade_on_frame,
        s.off?.x,
        s.off?.y,
        s.on?.x,
        s.on?.y,
        ...STRIDE_QUANTITIES.flatMap((q) => readingCells(s.readings[q], entryOf(q).kind === "position")),
        ...EXTRA.flatMap(({ stride }) => readingCells(stride(s), false)),
      ]),
    ),
  };
}

/** `refused`: every number of `trials` and `strides` that could not be measured, and why. */
export function refusedTable(
  { study }: WholeStudy,
  readingOf: ReadingOf,
  keys: ReadonlyMap<string, string>,
): Table {
  return {
    name: "refused",
    title: "What could not be measured, and why",
    refersTo: OF_TRIAL,
    columns: [
      TRIAL,
      whole("stride", "blank: the trial's mean, or the whole trial"),
      text("quantity", "column of `strides` or `trials`; blank: the whole trial"),
      text("why", "the reason and, where there is one, what to do", { required: true }),
    ],
    rows: study.trials.flatMap((trial): Cell[][] => {
      const key = keys.get(trial.id) ?? trial.id;
      const reading = readingOf(trial.id);
      if (!reading.ok) return [[key, null, null, reading.error.coach]];
      const { strides, trial: means } = reading.value;
      return [
        ...[
          ...TRIAL_QUANTITIES.map((q) => [q, means[q]] as const),
          ...EXTRA.map(({ name, mean }) => [name, mean(reading.value)] as const),
        ].flatMap(([name, mean]): Cell[][] => ("why" in mean ? [[key, null, name, mean.why]] : [])),
        ...strides.flatMap((s) =>
          [
            ...STRIDE_QUANTITIES.map((q) => [q, s.readings[q]] as const),
            ...EXTRA.map(({ name, stride }) => [name, stride(s)] as const),
          ].flatMap(([name, value]): Cell[][] =>
            value.value === null ? [[key, s.stride, name, value.why]] : [],
          ),
        ),
      ];
    }),
  };
}

function measured(
  study: WholeStudy["study"],
  readingOf: ReadingOf,
): { id: string; readings: TrialReadings }[] {
  return study.trials.flatMap(({ id }) => {
    const reading = readingOf(id);
    return reading.ok ? [{ id, readings: reading.value }] : [];
  });
}
