import { Button } from "@mantine/core";
import { useEffect, useState } from "react";
import type { BackgroundNews, Backgrounds } from "../../../../src/study/exchange.ts";
import { trialLabel } from "../../../../src/study/labels.ts";
import { foundLike } from "../../../../src/trials/setupEdits.ts";
import { formatNumber } from "../../../../src/uncertainty/format.ts";
import { K95 } from "../../../../src/uncertainty/uncertain.ts";
import { tieByBackground } from "../../../commands/ice/tieByBackground.ts";
import { attempt } from "../../../store/attempt.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { LookingLine, useLooking } from "./useLooking.tsx";

interface Props {
  readonly m: Measuring;
  /** Trial whose clip this one's background is held against. */
  readonly other: string;
  /** At once, as somebody has just said that both were filmed from one place. */
  readonly begin: boolean;
  /** What it says has been taken before. */
  readonly isTaken: boolean;
}

/** Was this clip filmed as another one? What stands still in both pictures tells; a person takes it or leaves it. */
export function BackgroundCheck({ m, other, begin, isTaken }: Props) {
  const { state, look, end } = useLooking<BackgroundNews>();
  const [found, setFound] = useState<Backgrounds | null>(null);
  const { shell } = m;
  const trial = m.trial.id;
  const compare = () => {
    setFound(null);
    look(async (tell, signal) => setFound(await shell.compareBackgrounds(trial, other, tell, signal)));
  };
  // biome-ignore lint/correctness/useExhaustiveDependencies: once, when it is first shown
  useEffect(() => {
    if (begin) compare();
  }, []);
  const name = trialLabel(m.whole.study, other);
  if (state.kind === "going") return <LookingLine words={goingWords(state.news)} onStop={end} />;
  const leave = () => setFound(null);
  if (found?.alike) {
    const take = () => {
      if (!m.picture) return;
      attempt(m.session, tieByBackground, { trial, like: foundLike(other, found, m.picture) });
      leave();
    };
    return (
      <div className="background-check" role="status">
        <p>
          {turnWords(found, name)} {Math.round(100 * found.share)} % of what stands still was found again.
        </p>
        <div className="row">
          <Button size="compact-sm" onClick={take}>
            Take it
          </Button>
          <Button size="compact-sm" variant="default" onClick={leave}>
            Leave it
          </Button>
        </div>
      </div>
    );
  }
  return (
    <div className="background-check">
      {found && (
        <p className="care" role="status">
          {found.text}
        </p>
      )}
      {state.kind === "failed" && (
        <p className="bad" role="alert">
          {state.why}
        </p>
      )}
      <Button size="compact-sm" variant="light" onClick={compare}>
        {isTaken ? "Compare the backgrounds again" : "Compare the backgrounds"}
      </Button>
      {state.kind === "idle" && !found && !isTaken && (
        <p className="quiet">
          Tells from what stands still in both pictures whether this clip was filmed as {name}.
        </p>
      )}
    </div>
  );
}

function goingWords(news: BackgroundNews | null): string {
  if (news?.kind === "preparing" && news.of > 0)
    return `Getting the frames ready: ${Math.floor((100 * news.done) / news.of)} %`;
  return "Comparing the backgrounds …";
}

/** "Filmed as Aino, close, trial 1, but turned: the picture lies 1.5 px left and 0.3 px up (± 0.1 px) of that one's." */
function turnWords({ dxPx, dyPx }: Backgrounds & { readonly alike: true }, name: string): string {
  const u95 = K95 * Math.max(dxPx.u, dyPx.u);
  const off = Math.max(Math.abs(dxPx.value), Math.abs(dyPx.value));
  const px = (v: number) => `${formatNumber(Math.abs(v), 1)} px`;
  if (off <= u95) return `Filmed as ${name}, and not turned (± ${formatNumber(u95, 1)} px).`;
  const across = `${px(dxPx.value)} ${dxPx.value >= 0 ? "right" : "left"}`;
  const down = `${px(dyPx.value)} ${dyPx.value >= 0 ? "down" : "up"}`;
  return `Filmed as ${name} from the same place, but turned: its background lies ${across} and ${down} here (± ${formatNumber(u95, 1)} px).`;
}
