import { Button } from "@mantine/core";
import type { ReactNode } from "react";
import { useStore } from "zustand";
import type { EventName } from "../../../../src/study/types.ts";
import { answer, backOne, cannotSee, doMain, pickEvent } from "../core/actions.ts";
import { guideInput, stepNow } from "../core/guideNow.ts";
import { NO_TOOL, standing } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { AskStrip, Key } from "./AskStrip.tsx";
import { MovingEvent } from "./EventsHere.tsx";
import { oneBack } from "./guide.ts";
import type { GuideStep } from "./guideStep.ts";
import { RepeatFoot } from "./RepeatFoot.tsx";
import { StripFoot } from "./StripFoot.tsx";
import { type Asked, depthOf, eventsOf } from "./sequence.ts";
import { goToFrame } from "./steps.ts";

const EVENT_NAMES: Record<EventName, string> = {
  blade_off: "blade-off",
  recovery_min: "nearest the midline",
  blade_on: "blade-on",
  arm_front: "arm front",
  arm_back: "arm back",
};

interface StripProps {
  readonly m: Measuring;
  /** The wanted frame is on the canvas. */
  readonly exact: boolean;
  readonly notice: ReactNode;
}

/** One question at a time, in words under the picture. */
export function GuideStrip({ m, exact, notice }: StripProps) {
  useStore(m.session, (s) => s.frame);
  const ui = useStore(m.ui);
  const tool = standing(ui.tool, m.marks);
  if (m.readOnly) return <AskStrip {...LOOKING_ON} notice={notice} />;
  if (ui.playing) return <AskStrip {...PLAYING} notice={null} />;
  if (tool.kind === "move-event")
    return <MovingEvent m={m} moving={tool.event} exact={exact} notice={notice} />;
  const step = stepNow(m);
  const first = ui.pass.pass === 1;
  const other = tool.kind === "ask-event" && step.kind === "pick-event" ? step : null;
  const ask = (asked: Asked) => m.ui.setState({ tool: { kind: "ask-event", asked } });
  return (
    <AskStrip
      title={step.title}
      hint={step.hint}
      notice={step.kind === "go-to-event" ? null : notice}
      answers={
        <Answers m={m} step={step} exact={exact} canGoBack={oneBack(guideInput(m)) !== null} onOther={ask} />
      }
      foot={
        other ? (
          <OtherEvent m={m} now={other} onChoose={ask} />
        ) : first ? (
          <StripFoot m={m} />
        ) : (
          <RepeatFoot ui={m.ui} />
        )
      }
    />
  );
}

const PLAYING = {
  title: "Playing",
  hint: "P or a press on the picture stops it where it is; then the question comes back. V is slower.",
} as const;

export const LOOKING_ON = {
  title: "Looking on",
  hint: "Nothing can be marked in this window; the arrows step through the frames.",
} as const;

interface AnswersProps {
  readonly m: Measuring;
  readonly step: GuideStep;
  readonly exact: boolean;
  readonly canGoBack: boolean;
  onOther(now: Asked): void;
}

function Answers({ m, step, exact, canGoBack, onOther }: AnswersProps) {
  const again = m.ui.getState().pass.pass > 1;
  switch (step.kind) {
    case "pick-event":
      return <PickEvent m={m} step={step} exact={exact} onOther={onOther} />;
    case "go-to-event":
      return (
        <>
          <Button size="compact-md" onClick={() => doMain(m)}>
            Go to frame {step.event.frame} <Key>Enter</Key>
          </Button>
          {!again && <SomethingElse m={m} now={step.event} onOther={onOther} />}
        </>
      );
    case "point":
      return (
        <>
          <span className="quiet number">
            {step.done} of {step.of} done
          </span>
          <Button variant="default" size="compact-md" onClick={() => cannotSee(m)}>
            {again ? "Leave it out" : "Can't be seen"} <Key>N</Key>
          </Button>
          {!again && (
            <Button variant="default" size="compact-md" disabled={!canGoBack} onClick={() => backOne(m)}>
              Back one <Key>⌫</Key>
            </Button>
          )}
        </>
      );
    case "all-again":
      return null;
    case "arm-question":
      return (
        <>
          <Button size="compact-md" onClick={() => answer(m, true)}>
            Yes, nearer <Key>Y</Key>
          </Button>
          <Button size="compact-md" onClick={() => answer(m, false)}>
            No, farther <Key>N</Key>
          </Button>
          <Button size="compact-md" variant="default" onClick={() => answer(m, undefined)}>
            Can't tell <Key>T</Key>
          </Button>
        </>
      );
  }
}

interface PickProps extends Pick<AnswersProps, "m" | "exact" | "onOther"> {
  readonly step: GuideStep & { readonly kind: "pick-event" };
}

function PickEvent({ m, step, exact, onOther }: PickProps) {
  return (
    <>
      <Button size="compact-md" disabled={!exact} onClick={() => pickEvent(m)}>
        This is the frame <Key>Enter</Key>
      </Button>
      {step.suggested !== null && (
        <Button
          size="compact-md"
          variant="light"
          onClick={() => goToFrame(m.session, m.index, step.suggested as number)}
        >
          Look at frame {step.suggested} <Key>G</Key>
        </Button>
      )}
      <SomethingElse m={m} now={step} onOther={onOther} />
    </>
  );
}

interface ElseProps extends Pick<AnswersProps, "m" | "onOther"> {
  /** What is asked for now. */
  readonly now: Asked;
}

/** The order of the stride is a suggestion: another side can be asked for here, another event in the strip's foot. */
function SomethingElse({ m, now: { event, side: asked }, onOther }: ElseProps) {
  const chosen = useStore(m.ui, ({ tool }) => tool.kind === "ask-event");
  if (!chosen) {
    return (
      <button type="button" className="plain-button ask-open" onClick={() => onOther({ event, side: asked })}>
        Something else?
      </button>
    );
  }
  return (
    <>
      <fieldset className="choices" aria-label="Side">
        {(["left", "right"] as const).map((side) => (
          <button
            key={side}
            type="button"
            aria-pressed={side === asked}
            onClick={() => onOther({ event, side })}
          >
            <span className={`side-${side}`} aria-hidden="true" /> {side}
          </button>
        ))}
      </fieldset>
      <button type="button" className="plain-button" onClick={() => m.ui.setState({ tool: NO_TOOL })}>
        As it comes
      </button>
    </>
  );
}

interface OtherProps {
  readonly m: Measuring;
  /** What is asked for now. */
  readonly now: Asked;
  onChoose(asked: Asked): void;
}

/** The events there are; while one is being chosen they take the place of the foot. */
function OtherEvent({ m, now, onChoose }: OtherProps) {
  return (
    <fieldset className="choices" aria-label="Event">
      {eventsOf(depthOf(m.whole.study)).map((event) => (
        <button
          key={event}
          type="button"
          aria-pressed={now.event === event}
          onClick={() => onChoose({ event, side: now.side })}
        >
          {EVENT_NAMES[event]}
        </button>
      ))}
    </fieldset>
  );
}
