import { MeasureError } from "../../../src/errors.ts";
import { viewsOf } from "../../../src/study/trialViews.ts";
import type { HandTurn } from "../../../src/study/types.ts";
import type { Command } from "../Command.ts";
import { changed, withStudy } from "../withStudy.ts";

/** Turns a clip's picture by hand, degrees clockwise on top of what its file says; 0 = as the file says. */
export const turnClip: Command<{ clip: string; turn: 0 | HandTurn }> = {
  name: "turnClip",
  label: ({ turn }) => (turn === 0 ? "show the clip as its file says" : `turn the clip by ${turn}°`),
  run(whole, { clip, turn }) {
    const marked = whole.study.trials.flatMap(viewsOf).find((t) => {
      const marks = t.clip === clip ? whole.marks[t.id] : undefined;
      return marks && (marks.marks.length > 0 || marks.iceReference !== null || marks.picture !== null);
    });
    if (marked) {
      throw new MeasureError(
        "turned-under-marks",
        `turnClip: trial ${marked.id} is marked on clip ${clip}`,
        "Something is marked on this clip already, and would lie wrong on the turned picture. Clear its marks and its scale first.",
        { trial: marked.id },
      );
    }
    return withStudy(whole, {
      clips: changed(whole.study.clips, clip, ({ turn: _, ...rest }) =>
        turn === 0 ? rest : { ...rest, turn },
      ),
    });
  },
};
