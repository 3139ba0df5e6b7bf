import type { SetupSummary } from "../../ice/types.ts";
import { type Names, typedText } from "../../study/labels.ts";
import { trialOfView, viewsOf } from "../../study/trialViews.ts";
import type { CameraSetup, Trial, WholeStudy } from "../../study/types.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import { OF_TRIAL, TRIAL } from "./peopleTables.ts";
import { type Cell, type Column, number, type Table, text, whole } from "./table.ts";

type Keys = ReadonlyMap<string, string>;

const U95 = "half-width of the 95 % interval";

/** `setups`: which clips were filmed by one camera from one place, and how each is known to look. None where a study has none. */
export function setupsTable(study: WholeStudy, names: Names, readingOf: ReadingOf, keys: Keys): Table[] {
  const { setups = [] } = study.study;
  if (setups.length === 0) return [];
  return [
    {
      name: "setups",
      title:
        "Camera set-ups: clips whose ice points serve each other, and how each camera was turned against the first clip's",
      refersTo: OF_TRIAL,
      columns: [
        text("setup", "what it is called", { required: true }),
        TRIAL,
        whole("view", "which view of the trial, from 1", { required: true }),
        text(
          "by",
          "what ties it: its own ice points, its background, somebody's look or word; blank: nothing does yet",
        ),
        whole("points", "ice points marked on it"),
        number(
          "dx_px",
          "the first clip's background is seen so far right in this one, at the picture's centre",
          "px",
        ),
        number("dx_px_u95", U95, "px"),
        number("dy_px", "so far down", "px"),
        number("dy_px_u95", U95, "px"),
        number("turn_deg", "turned so far clockwise", "°"),
        number("turn_deg_u95", U95, "°"),
        ...GIVEN,
      ],
      rows: setups.flatMap((setup) => {
        const found = summaryOf(setup, readingOf);
        const { trials } = study.study;
        return setup.trials.flatMap(({ trial: id, like }): Cell[][] => {
          const trial = trialOfView(study.study, id);
          if (!trial) return [];
          const clip = found?.clips.find((c) => c.trial === id);
          const other = like && trialOfView({ trials }, like.trial);
          return [
            [
              typedText(study.study, setup.name, names),
              keys.get(trial.id) ?? trial.id,
              numberOf(trial, id),
              ...(clip ? cells(clip) : [null, null, null, null, null, null, null, null]),
              names === "names" ? setup.id : `camera-${setups.indexOf(setup) + 1}`,
              typedText(study.study, setup.camera ?? "", names),
              setup.lens?.k1,
              setup.lens?.k2,
              ...(like && other
                ? [like.by, keys.get(other.id) ?? other.id, numberOf(other, like.trial)]
                : [null, null, null]),
              ...(like ? [like.dxPx, like.dyPx, like.turnDeg, like.uPx] : [null, null, null, null]),
            ],
          ];
        });
      }),
    },
  ];
}

/** What was given, from which `measure --tables` fits the joint scale again. */
const GIVEN: readonly Column[] = [
  text("setup_id", "tells set-ups of one name apart", { required: true }),
  text("camera", "which camera it is: set-ups of one camera share what their ice points show of its lens"),
  number("lens_k1", "radial lens coefficient given by hand", ""),
  number("lens_k2", "radial lens coefficient given by hand", ""),
  text("like_by", "how its camera is known by another clip; blank: by its own ice points alone", {
    choices: ["said", "looked", "background"],
  }),
  text("like_trial", "that other clip's trial"),
  whole("like_view", "that other clip's view, from 1"),
  number("like_dx_px", "that clip's background is seen so far right in this one, as it was found", "px"),
  number("like_dy_px", "so far down", "px"),
  number("like_turn_deg", "turned so far clockwise", "°"),
  number("like_u_px", "standard uncertainty of each, of the turn at a typical place", "px"),
];

function numberOf(trial: Trial, id: string): number {
  return 1 + viewsOf(trial).findIndex((view) => view.id === id);
}

/** By word alone nothing is known of the turn. */
function cells({ by, points, dxPx, dyPx, turnDeg }: SetupSummary["clips"][number]): Cell[] {
  const turn = [dxPx, dyPx, turnDeg].flatMap(({ value, u95 }) =>
    by === "said" ? [null, null] : [value, u95],
  );
  return [by, points, ...turn];
}

/** What the joint fit says of a set-up's clips; any of them tells of all. */
function summaryOf({ id, trials }: CameraSetup, readingOf: ReadingOf): SetupSummary | null {
  for (const { trial } of trials) {
    const reading = readingOf(trial);
    const setup = reading.ok ? reading.value.scale?.setup : undefined;
    if (setup?.id === id) return setup;
  }
  return null;
}
