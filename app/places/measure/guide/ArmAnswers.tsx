import { useStore } from "zustand";
import { answerArm } from "../../../commands/marks/answerArm.ts";
import { attempt } from "../../../store/attempt.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { answerOf } from "./armQuestion.ts";
import { depthOf, eventsOf } from "./sequence.ts";

/** What stands for the arms of this frame, said here or taken on from the stride before; a press turns it round. */
export function ArmAnswers({ m }: { m: Measuring }) {
  const frame = useStore(m.session, (s) => s.frame);
  const wanted = eventsOf(depthOf(m.whole.study));
  const arms = m.marks.events.filter(
    (e) => e.frame === frame && wanted.includes(e.event) && e.event.startsWith("arm"),
  );
  const answers = arms.flatMap((event) =>
    (["elbow", "wrist"] as const).flatMap((joint) => {
      const toward = answerOf(event, joint);
      return toward === undefined ? [] : [{ event, joint, toward }];
    }),
  );
  if (answers.length === 0) return null;
  return (
    <fieldset className="choices points" aria-label="Toward the camera">
      {answers.map(({ event, joint, toward }) => {
        const words = `${event.side} ${joint} ${toward ? "nearer" : "farther"}`;
        const carried = event.carried?.includes(joint) ?? false;
        return (
          <button
            key={`${event.event} ${event.side} ${joint}`}
            type="button"
            title={`${carried ? "As in the stride before" : "As you said"}; press to turn it round`}
            aria-label={`${words}${carried ? ", as in the stride before" : ""}. Turn it round`}
            onClick={() => {
              const { side, event: name } = event;
              attempt(m.session, answerArm, {
                ...{ trial: m.trial.id, event: name, side, frame },
                ...{ joint, toward: !toward },
              });
            }}
          >
            {words}
            {carried ? " (as before)" : ""}
          </button>
        );
      })}
    </fieldset>
  );
}
