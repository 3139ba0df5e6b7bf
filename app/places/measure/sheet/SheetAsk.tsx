import { Button } from "@mantine/core";
import { capital } from "../../../../src/words.ts";
import { eventWords } from "../../../commands/words.ts";
import { AskStrip, Key } from "../guide/AskStrip.tsx";
import type { FoundEvent } from "./found.ts";
import { type Piece, pieceName } from "./rowPoints.ts";
import type { SheetActs } from "./useSheetKeys.ts";

interface Props {
  readonly row: FoundEvent;
  /** The frame picked. */
  readonly frame: number;
  readonly blind: boolean;
  readonly piece: Piece | undefined;
  /** Strides left. */
  readonly left: number;
  readonly notice: string | null;
  readonly acts: Pick<SheetActs, "take" | "unseen" | "leaveOut" | "close">;
}

const HINT = "Take the frame with its points, or move what is not right first. Only what you take counts.";
const BLIND_HINT =
  "One suggestion in eight stays hidden until you have marked: so it is known how far suggestions err on this clip.";

/** SD of suggested frames, above which fewer than 95 in 100 are within a frame: 1.5 / 1.96. */
const TOLD_TO_A_FRAME = 0.77;

function hintOf({ sdFrames }: FoundEvent): string {
  if (sdFrames <= TOLD_TO_A_FRAME) return HINT;
  return `Told to ± ${Math.round(1.96 * sdFrames)} frames so far: look at the frames beside it. ${HINT}`;
}

/** What is asked of the row at hand, and its answers. */
export function SheetAsk({ row, frame, blind, piece, left, notice, acts }: Props) {
  const words = capital(eventWords(row.event, row.side));
  return (
    <AskStrip
      title={blind ? `${words}: blind check` : `${words}: frame ${frame}?`}
      hint={blind ? BLIND_HINT : hintOf(row)}
      notice={notice}
      answers={
        <>
          <Button size="compact-md" onClick={acts.take}>
            {blind ? "This is the frame" : "Take it"} <Key>Enter</Key>
          </Button>
          <Button size="compact-md" variant="default" onClick={acts.unseen} disabled={!piece}>
            {piece ? `Can't see ${pieceName(piece)}` : "Can't be seen"} <Key>N</Key>
          </Button>
        </>
      }
      foot={
        <>
          <span>{left === 1 ? "1 stride left" : `${left} strides left`}</span>
          <button type="button" className="plain-button" onClick={acts.leaveOut}>
            Leave this stride out
          </button>
          <button type="button" className="plain-button" onClick={acts.close}>
            Back to the picture <Key>U</Key>
          </button>
          <span
            className="quiet"
            title="Drag an end to move it all, with Shift that end alone; drag from end to end to draw it anew."
          >
            ← → frame; drag: move; Shift: one end; heel to toe: anew
          </span>
        </>
      }
    />
  );
}
