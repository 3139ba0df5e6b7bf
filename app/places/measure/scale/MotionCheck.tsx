import { Button } from "@mantine/core";
import type { MotionNews } from "../../../../src/study/exchange.ts";
import { trialScale } from "../../../../src/trials/scaleReference.ts";
import { formatNumber } from "../../../../src/uncertainty/format.ts";
import { takeMotion } from "../../../commands/clips/takeMotion.ts";
import { attempt } from "../../../store/attempt.ts";
import { iceScale } from "../core/iceScale.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { LookingLine, useLooking } from "./useLooking.tsx";

/** Did the picture stand still during this clip? What stands still in front of the camera tells, frame by frame. */
export function MotionCheck({ m }: { m: Measuring }) {
  const { state, look, end } = useLooking<MotionNews>();
  const { shell, session, picture } = m;
  const trial = m.trial.id;
  if (!picture || m.readOnly) return null;
  if (state.kind === "going") return <LookingLine words={goingWords(state.news)} onStop={end} />;
  const follow = () =>
    look(async (tell, signal) => {
      const motion = await shell.followBackground(trial, tell, signal);
      attempt(session, takeMotion, { trial, motion, picture });
    });
  const found = m.marks.motion ? said(m) : [];
  return (
    <div className="background-check">
      {found.map(({ text, isCare }) => (
        <p key={text} className={isCare ? "care" : "quiet"} role="status">
          {text}
        </p>
      ))}
      {state.kind === "failed" && (
        <p className="bad" role="alert">
          {state.why}
        </p>
      )}
      <Button size="compact-sm" variant="light" onClick={follow}>
        {m.marks.motion ? "Look at the background again" : "Look at the background of this clip"}
      </Button>
      {!m.marks.motion && state.kind === "idle" && (
        <p className="quiet">
          {m.marks.iceReference?.kind === "ice-points-by-frame"
            ? "Follows what stands still through the clip, so that ice points on three frames far apart serve those between."
            : "Tells from what stands still whether the camera was knocked or the picture shakes, and takes it out of the measuring frame by frame."}
        </p>
      )}
    </div>
  );
}

/** What was found, in words. */
function said(
  m: Pick<Measuring, "whole" | "marks" | "picture">,
): readonly { readonly text: string; readonly isCare: boolean }[] {
  const { whole, marks } = m;
  const { steady, reference } = trialScale(whole, marks.trial);
  if (reference?.kind === "followed") return followedWords(m);
  if (!steady) return [];
  const { still, jitterPx } = steady.summary;
  if (still === true && jitterPx.value !== null)
    return [
      {
        text: `The camera stood still during this clip, as far as its background shows (± ${formatNumber(jitterPx.u95, 1)} px).`,
        isCare: false,
      },
    ];
  const { points } = marks.iceReference?.kind === "ice-points" ? marks.iceReference : { points: [] };
  const unsaid = points.filter((p) => p.frame === undefined).map((p) => p.label);
  const again =
    unsaid.length === 0
      ? []
      : [
          `Nobody said on which frame ${unsaid.length === points.length ? "the ice points were" : `${unsaid.join(", ")} ${unsaid.length === 1 ? "was" : "were"}`} put, so all that the picture moves is in every ±. Press ${unsaid.length === 1 ? "it" : "them"} again.`,
        ];
  return [...steady.warnings.map(({ text }) => text), ...again].map((text) => ({ text, isCare: true }));
}

/** How far the background carries the ice points of a camera that pans. */
function followedWords({ whole, marks, picture }: Pick<Measuring, "whole" | "marks" | "picture">) {
  const scale = iceScale(whole, marks.trial, picture);
  const followed = scale?.ok ? scale.value.summary.followed : undefined;
  // Why there is no scale is said above.
  if (!followed) return [];
  const { carried, frames, shutter } = followed;
  const isRolling = Math.abs(shutter.value) > shutter.u95;
  return [
    {
      text: `The background carries the ice points to ${carried} of ${frames} frames.${isRolling ? ` The rows of a frame are read within ${formatNumber(shutter.value, 2)} ± ${formatNumber(shutter.u95, 2)} of the time between frames; that is taken out.` : ""}`,
      isCare: carried === 0,
    },
  ];
}

function goingWords(news: MotionNews | null): string {
  if (!news || !("of" in news) || news.of === 0) return "Looking at the background …";
  const share = `${Math.floor((100 * news.done) / news.of)} %`;
  return news.kind === "preparing"
    ? `Getting the frames ready: ${share}`
    : `Following the background: ${share}`;
}
