import type { SetupSummary } from "../../ice/types.ts";
import { type Names, typedText } from "../../study/labels.ts";
import { trialOfView, viewsOf } from "../../study/trialViews.ts";
import type { CameraSetup, WholeStudy } from "../../study/types.ts";
import type { ReadingOf } from "../../trials/techniqueCheck.ts";
import { OF_TRIAL, TRIAL } from "./peopleTables.ts";
import { type Cell, number, type Table, text, whole } from "./table.ts";

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
      ],
      rows: setups.flatMap((setup) => {
        const found = summaryOf(setup, readingOf);
        return setup.trials.flatMap(({ trial: id }): Cell[][] => {
          const trial = trialOfView(study.study, id);
          if (!trial) return [];
          const clip = found?.clips.find((c) => c.trial === id);
          const head = [
            typedText(study.study, setup.name, names),
            keys.get(trial.id) ?? trial.id,
            1 + viewsOf(trial).findIndex((view) => view.id === id),
          ];
          return [[...head, ...(clip ? cells(clip) : [null, null, null, null, null, null, null, null])]];
        });
      }),
    },
  ];
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
