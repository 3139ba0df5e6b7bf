import { useStore } from "zustand";
import type { ArmJoint, EventFrame } from "../../../../src/study/types.ts";
import { answerArm } from "../../../commands/marks/answerArm.ts";
import { attempt } from "../../../store/attempt.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { answerOf } from "./armQuestion.ts";
import { depthOf, eventsOf } from "./sequence.ts";

interface Answered {
  readonly event: EventFrame;
  readonly joint: ArmJoint;
  readonly toward: boolean;
  readonly carried: boolean;
}

/** What stands for the arms of the frame looked at. */
function useAnswers(m: Pick<Measuring, "session" | "whole" | "marks">): readonly Answered[] {
  const frame = useStore(m.session, (s) => s.frame);
  const wanted = eventsOf(depthOf(m.whole.study));
  const arms = m.marks.events.filter(
    (e) => e.frame === frame && wanted.includes(e.event) && e.event.startsWith("arm"),
  );
  return arms.flatMap((event) =>
    (["elbow", "wrist"] as const).flatMap((joint) => {
      const toward = answerOf(event, joint);
      const carried = event.carried?.includes(joint) ?? false;
      return toward === undefined ? [] : [{ event, joint, toward, carried }];
    }),
  );
}

/** That there are answers, and whether somebody gave them here or they were taken on; a press shows them. */
export function ArmSummary({
  m,
  onOpen,
}: {
  m: Pick<Measuring, "session" | "whole" | "marks">;
  onOpen: () => void;
}) {
  const answers = useAnswers(m);
  if (answers.length === 0) return null;
  return (
    <button
      type="button"
      className="plain-button ask-open"
      title="Which elbow and wrist are nearer the camera: look, and turn round what is wrong"
      onClick={onOpen}
    >
      Arms: {answers.some((a) => a.carried) ? "as before" : "as said"}
    </button>
  );
}

/** Each answer with whether it was said here or taken on from the stride before; a press turns it round. */
export function ArmAnswers({
  m,
  onDone,
}: {
  m: Pick<Measuring, "session" | "whole" | "trial" | "marks">;
  onDone: () => void;
}) {
  const answers = useAnswers(m);
  return (
    <>
      <fieldset className="choices points" aria-label="Toward the camera">
        {answers.map(({ event: { event, side, frame }, joint, toward, carried }) => {
          const words = `${side} ${joint} ${toward ? "nearer" : "farther"}`;
          return (
            <button
              key={`${event} ${side} ${joint}`}
              type="button"
              title={`${carried ? "As in the stride before" : "As you said"}; press to turn it round`}
              aria-label={`${words}${carried ? ", as in the stride before" : ""}. Turn it round`}
              onClick={() =>
                attempt(m.session, answerArm, {
                  ...{ trial: m.trial.id, event, side, frame },
                  ...{ joint, toward: !toward },
                })
              }
            >
              {words}
            </button>
          );
        })}
      </fieldset>
      <button type="button" className="plain-button" onClick={onDone}>
        Done with these
      </button>
    </>
  );
}
