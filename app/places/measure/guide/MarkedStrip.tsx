import { Button } from "@mantine/core";
import type { ReactNode } from "react";
import type { Trial } from "../../../../src/study/types.ts";
import { plural } from "../numbers/plural.ts";
import { AskStrip, Key } from "./AskStrip.tsx";

interface Props {
  readonly strides: number;
  readonly notice: ReactNode;
  /** The trial that is to be marked next; null = every one that has a clip is marked. */
  readonly next: Trial | null;
  onGoOn(): void;
  onMarkOn(): void;
}

/** Nothing is left to ask of this trial: says so, and what one can do now. */
export function MarkedStrip({ strides, notice, next, onGoOn, onMarkOn }: Props) {
  return (
    <AskStrip
      title={`This trial is marked: ${plural(strides, "stride")}`}
      hint="Its numbers stand beside the picture; press an event on the ribbon to look at it again. More, “Mark again”, tells how well the marks repeat."
      notice={notice}
      answers={
        <>
          <Button size="compact-md" onClick={onGoOn}>
            {next ? "Next unmarked trial" : "Every trial is marked: compare"} <Key>Enter</Key>
          </Button>
          <Button size="compact-md" variant="default" onClick={onMarkOn}>
            I see another stride
          </Button>
        </>
      }
    />
  );
}
