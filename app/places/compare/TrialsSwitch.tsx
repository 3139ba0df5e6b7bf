import { SegmentedControl } from "@mantine/core";
import type { StudyAnswer } from "../../../src/report/studyAnswer.ts";
import type { TrialsUsed } from "./shownAnswer.ts";

interface TrialsSwitchProps {
  readonly answer: StudyAnswer;
  readonly used: TrialsUsed;
  readonly onUsed: (used: TrialsUsed) => void;
}

/** All trials, or without those that did not show what was asked. Says so where there are none to leave out. */
export function TrialsSwitch({ answer, used, onUsed }: TrialsSwitchProps) {
  const { trials } = answer.check;
  const wrong = trials.filter((t) => t.asked.answer === "no").length;
  const open = trials.filter((t) => t.asked.answer === "can't tell").length;
  if (wrong === 0) {
    return <p className="quiet">No trial is left out: none was found to differ from what was asked.</p>;
  }
  return (
    <div className="trials-switch">
      <SegmentedControl
        aria-label="Trials that are used"
        value={used}
        data={[
          { value: "all", label: `All trials (${trials.length})` },
          { value: "without", label: `Without those not as asked (${trials.length - wrong})` },
        ]}
        onChange={(value) => onUsed(value as TrialsUsed)}
      />
      {used === "without" && open > 0 && (
        <span className="quiet">
          {open} that can’t be judged {open === 1 ? "is" : "are"} still in.
        </span>
      )}
    </div>
  );
}
