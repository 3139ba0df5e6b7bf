import { useEffect, useRef } from "react";
import { eventWords } from "../../../commands/words.ts";
import type { Area } from "./Crop.tsx";
import { Crop } from "./Crop.tsx";
import type { FoundEvent } from "./found.ts";
import type { At, Piece, RowPoint } from "./rowPoints.ts";
import { pieceName } from "./rowPoints.ts";
import { SHOWN } from "./sheetStrides.ts";

interface Props {
  readonly row: Pick<FoundEvent, "event" | "side" | "frame">;
  readonly isDone: boolean;
  readonly isActive: boolean;
  readonly isBlind: boolean;
  readonly first: number;
  readonly frame: number;
  readonly pieces: readonly Piece[];
  readonly chosen: number | null;
  readonly areas: { readonly blades: Area | null; readonly hips: Area | null };
  readonly url: (frame: number) => string;
  readonly lastFrame: number;
  onFrame(frame: number): void;
  onPut(piece: number, put: readonly { readonly at: At; readonly point: RowPoint }[]): void;
}

/** One event of a stride: its frames beside each other about the blade, and the hips on the frame picked. */
export function SheetRow(props: Props) {
  const {
    row,
    isDone,
    isActive,
    isBlind,
    first,
    frame,
    pieces,
    chosen,
    areas,
    url,
    lastFrame,
    onFrame,
    onPut,
  } = props;
  const isHip = (piece: Piece) => piece[0]?.point === "hip";
  const blades = pieces.filter((piece) => !isHip(piece));
  const hips = pieces.filter(isHip);
  const at = (of: readonly Piece[]) => {
    const k = chosen === null ? -1 : of.indexOf(pieces[chosen] as Piece);
    return k < 0 ? null : k;
  };
  const put = (of: readonly Piece[]) =>
    isActive
      ? (k: number, points: Parameters<Props["onPut"]>[1]) => onPut(pieces.indexOf(of[k] as Piece), points)
      : null;
  const words = eventWords(row.event, row.side);
  const frames = Array.from({ length: SHOWN }, (_, k) => first + k).filter((f) => f <= lastFrame);
  const self = useRef<HTMLElement>(null);
  useEffect(() => {
    if (isActive) self.current?.scrollIntoView({ block: "nearest" });
  }, [isActive]);
  return (
    <section
      ref={self}
      className="sheet-row"
      data-active={isActive || undefined}
      data-row={`${row.event} ${row.side} ${row.frame}`}
      aria-label={words}
    >
      <h3>
        <span className={`side-${row.side}`} /> {words}
        <small className="quiet">
          {isBlind ? "blind check: mark it without a suggestion" : `frame ${frame}`}
        </small>
        {isDone && <small className="good">✓ confirmed</small>}
      </h3>
      <div className="sheet-frames">
        {frames.map((f) => (
          <figure key={f} data-picked={f === frame || undefined}>
            {areas.blades ? (
              <Crop
                url={url(f)}
                area={areas.blades}
                label={`${words}, frame ${f}`}
                pieces={f === frame ? blades : []}
                chosen={at(blades)}
                onPut={f === frame ? put(blades) : null}
              />
            ) : (
              <p className="quiet">Nothing tells where to look.</p>
            )}
            <figcaption>
              <button type="button" tabIndex={-1} disabled={!isActive} onClick={() => onFrame(f)}>
                {f}
              </button>
            </figcaption>
          </figure>
        ))}
        {areas.hips && (
          <figure className="sheet-hips">
            <Crop
              url={url(frame)}
              area={areas.hips}
              label={`hips, frame ${frame}`}
              pieces={hips}
              chosen={at(hips)}
              onPut={put(hips)}
            />
            <figcaption>{hips[0] ? pieceName(hips[0]) : "hips"}</figcaption>
          </figure>
        )}
      </div>
    </section>
  );
}
