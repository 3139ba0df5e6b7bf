import { useState } from "react";
import type { ClipRole, Study, Trial, TrialClip } from "../../../src/study/types.ts";
import { setClipRole } from "../../commands/clips/setClipRole.ts";
import { takeFurtherClipOff } from "../../commands/clips/takeFurtherClipOff.ts";
import type { Shell } from "../../shell/Shell.ts";
import { attempt } from "../../store/attempt.ts";
import { goToPlace, goToTrial, type Session } from "../../store/session.ts";
import { ClockDialog } from "./ClockDialog.tsx";

interface Props {
  readonly session: Session;
  readonly shell: Shell;
  readonly trial: Trial;
  readonly label: string;
}

const ROLES: Readonly<Record<ClipRole, string>> = {
  view: "measured view",
  clock: "the clock",
  look: "only to look at",
};

/** The clips of a trial beside its first, and what each is for. */
export function FurtherClips({ session, shell, trial, label }: Props) {
  const { study } = session.getState().whole;
  return (
    <>
      {(trial.clips ?? []).map((one) => (
        <FurtherClip key={one.clip} {...{ session, shell, trial, label, one, study }} />
      ))}
    </>
  );
}

function FurtherClip({
  session,
  shell,
  trial,
  label,
  one,
  study,
}: Props & { readonly one: TrialClip; readonly study: Study }) {
  const [reading, setReading] = useState(false);
  const name = study.clips.find((c) => c.id === one.clip)?.name ?? one.clip;
  const open =
    one.role === "clock"
      ? () => setReading(true)
      : one.role === "view"
        ? () => {
            goToTrial(session, one.id!);
            goToPlace(session, "measure");
          }
        : null;
  return (
    <div className="further-clip">
      {open ? (
        <button type="button" className="plain-button clip-name" onClick={open}>
          {name}
        </button>
      ) : (
        <span className="clip-name">{name}</span>
      )}
      <select
        className="further-role"
        aria-label={`What ${name} of ${label} is for`}
        value={one.role}
        onChange={(e) =>
          attempt(session, setClipRole, {
            trial: trial.id,
            clip: one.clip,
            role: e.currentTarget.value as ClipRole,
          })
        }
      >
        {Object.entries(ROLES).map(([role, words]) => (
          <option key={role} value={role}>
            {words}
          </option>
        ))}
      </select>
      <button
        type="button"
        className="plain-button"
        aria-label={`Take ${name} off ${label}`}
        title="Take this clip off the trial"
        onClick={() => attempt(session, takeFurtherClipOff, { trial: trial.id, clip: one.clip })}
      >
        ✕
      </button>
      {reading && (
        <ClockDialog {...{ session, shell, trial, clip: one, name }} onClose={() => setReading(false)} />
      )}
    </div>
  );
}
