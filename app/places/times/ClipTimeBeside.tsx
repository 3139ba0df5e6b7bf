import type { Trial } from "../../../src/study/types.ts";
import { setTimedBy } from "../../commands/trials/setTimedBy.ts";
import { attempt } from "../../store/attempt.ts";
import type { Session } from "../../store/session.ts";

interface Props {
  readonly session: Session;
  readonly trial: Trial;
  readonly label: string;
  /** "4.383 ± 0.027"; null = the clip gives none. */
  readonly text: string | null;
  /** Why it gives none. */
  readonly why: string | null;
}

/** Under the place of a photocell time that is not typed: the clip's own, offered or chosen, marked as what it is. */
export function ClipTimeBeside({ session, trial, label, text, why }: Props) {
  if (trial.time !== null) return null;
  const choose = (clip: boolean) => attempt(session, setTimedBy, { trial: trial.id, clip });
  if (trial.timedBy !== "clip") {
    return text === null ? null : (
      <button
        type="button"
        className="plain-button clip-time"
        aria-label={`Use the clip’s time for ${label}`}
        onClick={() => choose(true)}
      >
        use the clip’s {text.replaceAll(" ", "\u00a0")} s
      </button>
    );
  }
  return (
    <p className={text === null ? "care clip-time" : "clip-time"}>
      {text === null ? `No time by the clip: ${why}` : <strong className="number">{text} s by clip</strong>}{" "}
      <button
        type="button"
        className="plain-button"
        aria-label={`Don’t use the clip’s time for ${label}`}
        onClick={() => choose(false)}
      >
        don’t use it
      </button>
    </p>
  );
}
