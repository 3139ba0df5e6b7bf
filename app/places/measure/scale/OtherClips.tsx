import { Button } from "@mantine/core";
import { useState } from "react";
import type { BackgroundNews } from "../../../../src/study/exchange.ts";
import { trialLabel } from "../../../../src/study/labels.ts";
import { ownPoints } from "../../../../src/trials/setupEdits.ts";
import { joinClips } from "../../../commands/ice/joinClips.ts";
import { attempt } from "../../../store/attempt.ts";
import { goToTrial } from "../../../store/session.ts";
import { iceScale } from "../core/iceScale.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { plural } from "../numbers/plural.ts";
import { clipsWithoutScale, type LookedAt, lookAt, turnsWords, whyNot } from "./otherClips.ts";
import { LEAST_POINTS } from "./scaleAdvice.ts";
import { LookingLine, useLooking } from "./useLooking.tsx";

interface Going {
  readonly trial: string;
  readonly at: number;
  readonly of: number;
  readonly news: BackgroundNews | null;
}

/** An evening from one tripod: ice points marked on this clip serve every other clip whose background shows the same place. */
export function OtherClips({ m }: { m: Measuring }) {
  const { state, look, end } = useLooking<Going>();
  const [looked, setLooked] = useState<readonly LookedAt[]>([]);
  const { shell, session, whole } = m;
  const other = m.trial.id;
  const scale = iceScale(whole, other, m.picture);
  const open = clipsWithoutScale(whole, other);
  if (m.readOnly || ownPoints(m.marks) < LEAST_POINTS || !scale?.ok) return null;
  const lookAtAll = () => {
    setLooked([]);
    look(async (tell, signal) => {
      for (const [k, trial] of open.entries()) {
        const now = { trial, at: k + 1, of: open.length };
        tell({ ...now, news: null });
        const one = await lookAt(shell, { whole, trial, other }, (news) => tell({ ...now, news }), signal);
        setLooked((all) => [...all, one]);
      }
    });
  };
  if (state.kind === "going") return <LookingLine words={goingWords(m, state.news)} onStop={end} />;
  const joining = looked.flatMap((one) => (one.joins && open.includes(one.trial) ? [one] : []));
  const left = whyNot(
    whole,
    looked.filter(({ trial }) => open.includes(trial)),
  );
  if (open.length === 0 && looked.length === 0) return null;
  const take = () => attempt(session, joinClips, { other, clips: joining.map(({ found }) => found) });
  return (
    <section className="other-clips" aria-label="Other clips">
      {state.kind === "failed" && (
        <p className="bad" role="alert">
          {state.why}
        </p>
      )}
      {joining.length > 0 && (
        <div role="status">
          <p>
            <strong>
              {joining.length === 1
                ? `${trialLabel(whole.study, joining[0]!.trial)} was filmed from here.`
                : `${joining.length} clips were filmed from here.`}
            </strong>{" "}
            {turnsWords(joining.map(({ turn }) => turn))}
          </p>
          <div className="row">
            <Button size="compact-sm" onClick={take}>
              {joining.length === 1 ? "Take it in" : `Take all ${joining.length} in`}
            </Button>
            <Button size="compact-sm" variant="default" onClick={() => setLooked([])}>
              Leave them
            </Button>
          </div>
        </div>
      )}
      {joining.length === 0 && looked.length > 0 && left.length === 0 && (
        <p className="good" role="status">
          These ice points serve {plural(looked.length, "other clip")} now.
        </p>
      )}
      {left.map(({ why, clips }) => (
        <div key={why} className="care" role="status">
          <p>{why}</p>
          <ul className="copy-list">
            {clips.map(({ trial, name }) => (
              <li key={trial}>
                {name}
                <Button
                  size="compact-sm"
                  variant="default"
                  aria-label={`Go to ${name}`}
                  onClick={() => goToTrial(session, trial)}
                >
                  Go there
                </Button>
              </li>
            ))}
          </ul>
        </div>
      ))}
      {open.length > 0 && joining.length === 0 && (
        <>
          <Button size="compact-sm" variant="light" onClick={lookAtAll}>
            {looked.length > 0
              ? "Look again"
              : `Look for clips filmed from here: ${open.length} without a scale`}
          </Button>
          {looked.length === 0 && (
            <p className="quiet">
              What stands still in both pictures tells whether the tripod stayed. These ice points then serve
              those clips too, and how far the camera was turned in between is taken out.
            </p>
          )}
        </>
      )}
    </section>
  );
}

function goingWords({ whole }: Pick<Measuring, "whole">, now: Going | null): string {
  if (!now) return "Comparing the backgrounds …";
  const { news } = now;
  const ready =
    news?.kind === "preparing" && news.of > 0
      ? `, getting its frames ready: ${Math.floor((100 * news.done) / news.of)} %`
      : "";
  return `Clip ${now.at} of ${now.of}: ${trialLabel(whole.study, now.trial)}${ready}`;
}
