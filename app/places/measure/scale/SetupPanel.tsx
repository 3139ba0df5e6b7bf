import { Button, TextInput } from "@mantine/core";
import { useMemo, useState } from "react";
import type { SetupSummary } from "../../../../src/ice/types.ts";
import { trialLabel } from "../../../../src/study/labels.ts";
import type { CameraSetup } from "../../../../src/study/types.ts";
import { setupOf } from "../../../../src/trials/scaleReference.ts";
import { ownPoints } from "../../../../src/trials/setupEdits.ts";
import { formatNumber } from "../../../../src/uncertainty/format.ts";
import { joinSetup } from "../../../commands/ice/joinSetup.ts";
import { leaveSetup } from "../../../commands/ice/leaveSetup.ts";
import { nameCamera } from "../../../commands/ice/nameCamera.ts";
import { nameSetup } from "../../../commands/ice/nameSetup.ts";
import { attempt } from "../../../store/attempt.ts";
import { useLibrary } from "../../shared/useLibrary.ts";
import { iceScale } from "../core/iceScale.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { plural } from "../numbers/plural.ts";
import { BackgroundCheck } from "./BackgroundCheck.tsx";
import { cameraWords, likeScales } from "./likeScales.ts";
import { referenceWords } from "./referenceWords.ts";

/** The clips filmed with the same camera from the same place, whose ice points serve all of them. */
export function SetupPanel({ m }: { m: Measuring }) {
  const setup = setupOf(m.whole, m.trial.id);
  const [joinedNow, setJoinedNow] = useState<string | null>(null);
  if (!setup) return <SamePlace m={m} onJoin={() => setJoinedNow(m.trial.id)} />;
  return <Joined m={m} setup={setup} isNew={joinedNow === m.trial.id} />;
}

function SamePlace({
  m,
  onJoin,
}: {
  m: Pick<Measuring, "session" | "whole" | "trial" | "picture">;
  onJoin: () => void;
}) {
  const others = useMemo(() => likeScales(m.whole, m.trial, m.picture), [m.whole, m.trial, m.picture]);
  if (others.length === 0) return <p className="quiet">No other trial of this study has a scale yet.</p>;
  return (
    <div>
      <p className="quiet">
        Filmed from the same place, with the same zoom, as which clip? Ice points marked on any of them then
        serve all. What stands still in both pictures, or two or three of the points pressed here as well,
        tells whether the camera was touched in between.
      </p>
      <ul className="copy-list">
        {others.map(({ trial: t, reference, sameSize, camera }) => (
          <li key={t.id}>
            <span>
              {trialLabel(m.whole.study, t.id)} <span className="quiet">({referenceWords(reference)})</span>
              <br />
              {!sameSize && <span className="care">picture of another size; </span>}
              <span className="quiet">
                {camera ? cameraWords(camera) : "where its camera stood is not known"}
              </span>
            </span>
            <Button
              size="compact-sm"
              variant="light"
              disabled={!m.picture}
              aria-label={`Same place as ${trialLabel(m.whole.study, t.id)}`}
              onClick={() => {
                if (!m.picture) return;
                onJoin();
                attempt(m.session, joinSetup, { trial: m.trial.id, other: t.id, picture: m.picture });
              }}
            >
              Same place
            </Button>
          </li>
        ))}
      </ul>
    </div>
  );
}

function Joined({ m, setup, isNew }: { m: Measuring; setup: CameraSetup; isNew: boolean }) {
  const { library } = useLibrary(m.shell);
  const other = comparedWith(m, setup);
  const scale = iceScale(m.whole, m.trial.id, m.picture);
  const summary = scale?.ok ? scale.value.summary.setup : undefined;
  const placed = new Map(summary?.clips.map((c) => [c.trial, c]));
  return (
    <div>
      <div className="row">
        <TextInput
          key={setup.id}
          size="sm"
          aria-label="Name of the camera set-up"
          {...(library.setups.length > 0 && { list: "kept-setups" })}
          defaultValue={setup.name}
          onBlur={(e) =>
            e.currentTarget.value.trim() !== setup.name &&
            attempt(m.session, nameSetup, { setup: setup.id, name: e.currentTarget.value })
          }
        />
        <TextInput
          key={`camera ${setup.id}`}
          size="sm"
          aria-label="Which camera it is filmed with"
          placeholder="which camera, e.g. my phone"
          title="Set-ups of one camera at one zoom share what ice points show of its lens."
          list="cameras-of-setups"
          defaultValue={setup.camera ?? ""}
          onBlur={(e) =>
            e.currentTarget.value.trim() !== (setup.camera ?? "") &&
            attempt(m.session, nameCamera, { setup: setup.id, camera: e.currentTarget.value })
          }
        />
        <datalist id="cameras-of-setups">
          {[...new Set((m.whole.study.setups ?? []).flatMap((s) => s.camera ?? []))].map((camera) => (
            <option key={camera} value={camera} />
          ))}
        </datalist>
        <datalist id="kept-setups">
          {library.setups.map((s) => (
            <option key={s.name} value={s.name} />
          ))}
        </datalist>
        <Button
          size="compact-sm"
          variant="default"
          onClick={() => attempt(m.session, leaveSetup, { trial: m.trial.id })}
        >
          Take this clip out
        </Button>
      </div>
      {other && (
        <BackgroundCheck
          key={`${m.trial.id} ${other}`}
          m={m}
          other={other}
          begin={isNew}
          isTaken={setup.trials.some((t) => t.trial === m.trial.id && t.like?.by === "background")}
        />
      )}
      {summary && (
        <p>
          {summary.sharedPoints === 0
            ? "All its ice points are marked on this clip, and serve the others."
            : `${plural(summary.sharedPoints, "ice point")} of other clips ${summary.sharedPoints === 1 ? "serves" : "serve"} this one too.`}
        </p>
      )}
      <ul className="copy-list">
        {setup.trials.map(({ trial }) => (
          <li key={trial} aria-current={trial === m.trial.id ? "true" : undefined}>
            <span>
              {trialLabel(m.whole.study, trial)}
              {trial === m.trial.id && <span className="quiet"> (this clip)</span>}
              <br />
              <span className="quiet">
                {summary
                  ? clipWords(placed.get(trial))
                  : plural(ownPoints(m.whole.marks[trial]), "ice point")}
              </span>
            </span>
          </li>
        ))}
      </ul>
    </div>
  );
}

/** The clip that this one's background is held against: the one it is said to be like, else the first with ice points. */
function comparedWith(
  m: Pick<Measuring, "whole" | "trial" | "marks">,
  { trials }: CameraSetup,
): string | null {
  const like = trials.find((t) => t.trial === m.trial.id)?.like;
  if (like) return like.trial;
  const first = trials.find((t) => t.trial !== m.trial.id && ownPoints(m.whole.marks[t.trial]) >= 2);
  return first && ownPoints(m.marks) < 4 ? first.trial : null;
}

const BY = {
  points: "",
  said: "said to look the same, not checked",
  looked: "looked at: the same",
  background: "background compared",
} as const;

/** "3 ice points; turned 1.5 px right and 0.2 px up (± 0.4 px) against the first" */
function clipWords(clip: SetupSummary["clips"][number] | undefined): string {
  if (!clip) return "how its camera looked is not known: mark two of the ice points on it";
  const { points, by, dxPx, dyPx } = clip;
  const how = [
    ...(points > 0 || by === "points" ? [plural(points, "ice point")] : []),
    ...(BY[by] ? [BY[by]] : []),
  ];
  if (dxPx.u95 === 0 || by === "said" || by === "looked") return how.join("; ");
  const part = (v: number, more: string, less: string) =>
    `${formatNumber(Math.abs(v), 1)} px ${v >= 0 ? more : less}`;
  const off = `its picture lies ${part(dxPx.value, "right", "left")}, ${part(dyPx.value, "down", "up")} (± ${formatNumber(Math.max(dxPx.u95, dyPx.u95), 1)} px) against the first`;
  return [...how, off].join("; ");
}
