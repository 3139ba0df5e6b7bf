import { Button } from "@mantine/core";
import type { ReactNode } from "react";
import { useStore } from "zustand";
import { doScaleMain } from "../core/iceActions.ts";
import { iceScale } from "../core/iceScale.ts";
import { standing, toTask } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { AskStrip, Key } from "../guide/AskStrip.tsx";
import { LOOKING_ON } from "../guide/GuideStrip.tsx";
import { goToFrame } from "../guide/steps.ts";
import { framesWithoutIce } from "./movingAdvice.ts";
import { scaleAdvice } from "./scaleAdvice.ts";
import { isUnchecked } from "./scaleHere.ts";
import { sharedHere } from "./sharedHere.ts";

/** The question while the scale is being set. */
export function ScaleStrip({ m, notice }: { m: Measuring; notice: ReactNode }) {
  const tool = useStore(m.ui, (s) => s.tool);
  const frame = useStore(m.session, (s) => s.frame);
  const { iceReference, events } = m.marks;
  const scale = iceScale(m.whole, m.trial.id, m.picture);
  const { title, hint, done } = scaleAdvice(iceReference, standing(tool, m.marks), frame, events, {
    shared: sharedHere(m.whole, m.trial.id, m.picture),
    scale,
  });
  const unchecked = isUnchecked(m.whole, m.trial.id);
  const [next] = framesWithoutIce(iceReference, events, scale).filter((f) => f !== frame);
  if (m.readOnly) return <AskStrip {...LOOKING_ON} notice={notice} />;
  return (
    <AskStrip
      title={title}
      hint={hint}
      notice={notice}
      answers={
        <>
          {unchecked && (
            <Button size="compact-md" onClick={() => doScaleMain(m)}>
              Every square sits on its place <Key>Enter</Key>
            </Button>
          )}
          {next !== undefined && (
            <Button size="compact-md" variant="light" onClick={() => goToFrame(m.session, m.index, next)}>
              Event frame {next} needs ice points
            </Button>
          )}
          <Button
            size="compact-md"
            variant={done ? "filled" : "default"}
            onClick={() => m.ui.setState(toTask("strides"))}
          >
            {done ? "Scale is done: mark strides" : "Leave the scale for now"}
            {done && !unchecked && <Key>Enter</Key>}
          </Button>
        </>
      }
    />
  );
}
