import { Button } from "@mantine/core";
import type { ReactNode } from "react";
import type { Trial } from "../../../../src/study/types.ts";
import type { Marked } from "../core/markedHere.ts";
import { plural } from "../numbers/plural.ts";
import { AskStrip, Key } from "./AskStrip.tsx";

const LOOK = "Press an event on the ribbon to look at it again.";
const GOES_ON = "The clip goes on after the last one: see whether there is another push.";
const AGAIN = "More, “Mark again”, tells how well the marks repeat.";

interface Props {
  readonly marked: Marked;
  readonly notice: ReactNode;
  /** The trial that is to be marked next; null = every one that has a clip is marked. */
  readonly next: Trial | null;
  readonly foot: ReactNode;
  onLook(): void;
  onGoOn(): void;
  onMarkOn(): void;
}

/** Nothing is left to ask of this trial: says so, and what one can do now. Enter does the first of it. */
export function MarkedStrip({ marked, notice, next, foot, onLook, onGoOn, onMarkOn }: Props) {
  const { strides, at } = marked;
  const atEnd = at === "after";
  const goOn = next ? "Next unmarked trial" : "On to Compare";
  return (
    <AskStrip
      title={`This trial is marked: ${plural(strides, "stride")}`}
      hint={marked.goesOn && !atEnd ? `${LOOK} ${GOES_ON}` : `${LOOK} ${AGAIN}`}
      notice={notice}
      answers={
        <>
          {!atEnd && (
            <Button size="compact-md" onClick={onLook}>
              {at === "before" ? "Look through them" : "Next event"} <Key>Enter</Key>
            </Button>
          )}
          <Button size="compact-md" variant={atEnd ? "filled" : "default"} onClick={onGoOn}>
            {goOn} {atEnd && <Key>Enter</Key>}
          </Button>
          {at !== "within" && (
            <Button size="compact-md" variant="default" onClick={onMarkOn}>
              {atEnd ? "I see another stride" : "Add a stride before the first"}
            </Button>
          )}
        </>
      }
      foot={foot}
    />
  );
}
