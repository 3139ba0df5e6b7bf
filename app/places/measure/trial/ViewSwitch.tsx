import { Tooltip } from "@mantine/core";
import { trialOfView, viewsOf } from "../../../../src/study/trialViews.ts";
import { sameMoment } from "../../../../src/trials/sameMoment.ts";
import { goToTrial } from "../../../store/session.ts";
import type { Measuring } from "../core/useMeasure.ts";

/** From one view of a trial to another, at the same moment where events that both show tie their clocks. */
export function ViewSwitch({ m }: { m: Pick<Measuring, "session" | "whole" | "trial"> }) {
  const { whole, session } = m;
  const trial = trialOfView(whole.study, m.trial.id);
  const views = trial ? viewsOf(trial) : [];
  if (views.length < 2) return null;
  const tied = views.some(({ id }) => id !== m.trial.id && sameMoment(whole, m.trial.id, 0, id) !== null);
  return (
    <fieldset className="view-switch">
      <legend className="visually-hidden">Views of this trial</legend>
      {views.map(({ id, clip }, k) => (
        <Tooltip key={id} label={tipOf(whole.study.clips.find((c) => c.id === clip)?.name, tied)}>
          <button
            type="button"
            className="chip"
            aria-pressed={id === m.trial.id}
            onClick={() => {
              const { frame } = session.getState();
              goToTrial(session, id, sameMoment(whole, m.trial.id, frame, id) ?? undefined);
            }}
          >
            View {k + 1}
          </button>
        </Tooltip>
      ))}
    </fieldset>
  );
}

function tipOf(name: string | undefined, tied: boolean): string {
  const moment = tied
    ? "Opens at the same moment; Compare and Report measure by both together."
    : "Pick two blade-offs or blade-ons that both show, and the views open at the same moment.";
  return name === undefined ? moment : `${name}. ${moment}`;
}
