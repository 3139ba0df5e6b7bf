import { Tooltip } from "@mantine/core";
import { MeasureError } from "../../../../src/errors.ts";
import type { SoundNews } from "../../../../src/study/exchange.ts";
import { type TrialView, trialOfView, viewsOf } from "../../../../src/study/trialViews.ts";
import type { Trial, WholeStudy } from "../../../../src/study/types.ts";
import { soundOf } from "../../../../src/trials/keptSound.ts";
import { measuredTrial } from "../../../../src/trials/measuredViews.ts";
import { formatReading } from "../../../../src/uncertainty/format.ts";
import type { ViewSummary } from "../../../../src/views/types.ts";
import { takeSound } from "../../../commands/clips/takeSound.ts";
import { attempt } from "../../../store/attempt.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { LookingLine, useLooking } from "../scale/useLooking.tsx";

/** By what the clocks of this trial's views are tied, and listening to both clips. */
export function ClockTie({
  m,
}: {
  m: Pick<Measuring, "session" | "shell" | "whole" | "trial" | "readOnly">;
}) {
  const { state, look, end } = useLooking<SoundNews>();
  const { whole, session, shell } = m;
  const trial = trialOfView(whole.study, m.trial.id);
  const [first, ...further] = trial ? viewsOf(trial) : [];
  const own = further.find(({ id }) => id === m.trial.id) ?? further[0];
  if (!trial || !first || !own || first.clip === undefined || own.clip === undefined) return null;
  if (state.kind === "going") return <LookingLine words={goingWords(state.news)} onStop={end} />;
  const { words, why, isCare } =
    state.kind === "failed"
      ? { words: "Not listened", why: state.why, isCare: true }
      : tieWords(whole, trial, own);
  const listen = () =>
    look(async (tell, signal) => {
      const sound = await shell.listen(own.id, tell, signal);
      attempt(session, takeSound, { view: own.id, sound });
    });
  return (
    <>
      <Tooltip label={why}>
        <span className="chip" data-tone={isCare ? "care" : undefined} role="status">
          {words}
        </span>
      </Tooltip>
      {!m.readOnly && (
        <Tooltip label="Lays the sound of both clips over each other. Three uneven claps that both cameras hear are enough.">
          <button type="button" className="chip" onClick={listen}>
            {soundOf(whole, first, own) ? "Listen again" : "Listen to both clips"}
          </button>
        </Tooltip>
      )}
    </>
  );
}

interface Words {
  readonly words: string;
  readonly why: string;
  readonly isCare: boolean;
}

function tieWords(whole: WholeStudy, trial: Trial, own: TrialView): Words {
  const heard = soundOf(whole, viewsOf(trial)[0]!, own);
  const deaf = heard?.lag === null ? ` Sound does not tie them: ${heard.why}.` : "";
  const found = tieOf(whole, trial, own);
  if (typeof found === "string")
    return {
      words: `Clocks not tied${deaf === "" ? "" : ", not by sound either"}`,
      why: `${found}${deaf}`,
      isCare: true,
    };
  const { view, sound, shared, offset } = found;
  const by = `Add ${formatReading(offset, "s")} to view ${view}'s clock to give view 1's.`;
  const strides = `${shared} ${shared === 1 ? "stride" : "strides"}`;
  if (!sound || "value" in sound) {
    const why = sound ? `${by} ${sound.why}` : by;
    return { words: `Clocks tied by ${strides}${sound ? ", not by sound" : ""}`, why, isCare: false };
  }
  const heardWords = `sound (± ${sound.offset.u95.toFixed(2)} s)`;
  if (!sound.used)
    return {
      words: `Clocks tied by ${strides}, sound disagrees`,
      why: `By sound alone: ${formatReading(sound.offset, "s")}. Check that both clips show the same skate, and that no view's events are a stride off.`,
      isCare: true,
    };
  const words =
    sound.events === 0 ? `Clocks tied by ${heardWords}` : `Clocks tied by ${strides} and ${heardWords}`;
  return { words, why: by, isCare: false };
}

/** How a view stands to the first, or why it does not. */
function tieOf(whole: WholeStudy, trial: Trial, own: TrialView): ViewSummary | string {
  try {
    const { ids, views, readings } = measuredTrial(whole, trial);
    const found = views[ids.indexOf(own.id)];
    const untied = readings.warnings.find(({ code }) => code === "views-not-tied");
    return (
      found ??
      untied?.text ??
      "Each view needs a scale of the ice and the same blade-offs and blade-ons first."
    );
  } catch (error) {
    if (error instanceof MeasureError) return error.coach;
    throw error;
  }
}

function goingWords(news: SoundNews | null): string {
  if (news?.kind === "listening") return `Listening to view ${news.view} …`;
  return news?.kind === "comparing" ? "Laying both sounds over each other …" : "Listening …";
}
