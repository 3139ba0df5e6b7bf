import type { Scale } from "../../../../src/ice/types.ts";
import type { IceReference, MarkedPicture, StraightLine } from "../../../../src/study/types.ts";
import { icePointsOn } from "../../../commands/ice/icePoints.ts";
import type { IceCandidate } from "../core/tool.ts";
import { ExpectedPoints, FitArrows, KnownLengths } from "./IceOverlay.tsx";
import { PressedLines } from "./PressedLines.tsx";

interface Props {
  readonly reference: IceReference | null;
  readonly lines: readonly StraightLine[];
  /** null while there is none. */
  readonly scale: Scale | null;
  /** Places that are not put yet. */
  readonly left: readonly IceCandidate[];
  readonly picture: MarkedPicture | null;
  readonly frame: number;
  /** Stage px per picture px. */
  readonly px: number;
}

/** What is drawn on the picture while the scale is set: known lengths, or how each ice point fits and where others would be. */
export function ScaleOverlay({ reference, lines, scale, left, picture, frame, px }: Props) {
  if (reference?.kind === "known-lengths") return <KnownLengths lengths={reference.lengths} px={px} />;
  const pressed = <PressedLines lines={lines} frame={frame} px={px} />;
  if (!scale) return pressed;
  const points = icePointsOn(reference, frame);
  return (
    <>
      {pressed}
      <FitArrows scale={scale} points={points} frame={frame} px={px} />
      {picture && (
        <ExpectedPoints
          scale={scale}
          candidates={left}
          marked={points}
          picture={picture}
          frame={frame}
          px={px}
        />
      )}
    </>
  );
}
