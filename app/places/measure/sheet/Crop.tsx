import { type PointerEvent, useEffect, useRef, useState } from "react";
import { type Drag, pressedOn, putBy } from "./dragging.ts";
import type { At, Piece, RowPoint } from "./rowPoints.ts";

/** A part of the picture, px. */
export interface Area {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

interface Props {
  readonly url: string;
  readonly area: Area;
  readonly label: string;
  readonly pieces: readonly Piece[];
  /** Which of them is chosen. */
  readonly chosen: number | null;
  /** Points can be put and moved here. */
  readonly onPut?:
    | ((piece: number, put: readonly { readonly at: At; readonly point: RowPoint }[]) => void)
    | null;
}

/** So near to a point on the screen, px, a press takes hold of it. */
const GRASP_PX = 18;
const BACKING = 2;

/** Frames fetched last, so that going on by one fetches one. */
const fetched = new Map<string, Promise<Blob>>();
const MOST_FETCHED = 40;

function frameBlob(url: string): Promise<Blob> {
  const known = fetched.get(url);
  if (known) return known;
  const coming = fetch(url).then((answer) => {
    if (!answer.ok) throw new Error(`frame ${answer.status}`);
    return answer.blob();
  });
  coming.catch(() => fetched.delete(url));
  if (fetched.size >= MOST_FETCHED) fetched.delete(fetched.keys().next().value as string);
  fetched.set(url, coming);
  return coming;
}

/** A magnified part of one frame with its points. */
export function Crop({ url, area, label, pieces, chosen, onPut }: Props) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const svg = useRef<SVGSVGElement>(null);
  const [failed, setFailed] = useState(false);
  const [drag, setDrag] = useState<Drag | null>(null);
  const { x, y, width, height } = area;
  useEffect(() => {
    let isGone = false;
    setFailed(false);
    frameBlob(url)
      .then((blob) => createImageBitmap(blob))
      .then((bitmap) => {
        const c = canvas.current;
        if (!isGone && c) {
          const box = c.getBoundingClientRect();
          c.width = Math.max(1, Math.round(box.width * BACKING));
          c.height = Math.max(1, Math.round(box.height * BACKING));
          const pen = c.getContext("2d");
          if (pen) {
            pen.imageSmoothingQuality = "high";
            // Where (0, 0) is the centre of the first pixel its edge lies half a pixel before.
            pen.drawImage(bitmap, x + 0.5, y + 0.5, width, height, 0, 0, c.width, c.height);
          }
        }
        bitmap.close();
      })
      .catch(() => {
        if (!isGone) setFailed(true);
      });
    return () => {
      isGone = true;
    };
  }, [url, x, y, width, height]);

  const place = (e: PointerEvent): At => {
    const box = svg.current!.getBoundingClientRect();
    return {
      xPx: x + ((e.clientX - box.left) / box.width) * width,
      yPx: y + ((e.clientY - box.top) / box.height) * height,
    };
  };
  const perPx = () => (svg.current!.getBoundingClientRect().width || 1) / width;

  function onDown(e: PointerEvent): void {
    if (!onPut || e.button !== 0) return;
    const at = place(e);
    const pressed = pressedOn(pieces, at, { within: GRASP_PX / perPx(), alone: e.shiftKey });
    if (!pressed) return;
    e.preventDefault();
    svg.current?.setPointerCapture(e.pointerId);
    setDrag(pressed);
  }

  function putAt(by: Drag, at: At): void {
    const put = putBy(by, pieces, at);
    if (put.length > 0) onPut?.(by.piece, put);
  }

  function onMove(e: PointerEvent): void {
    if (drag) putAt(drag, place(e));
  }

  const shown = pieces.flatMap((piece, k) => piece.filter((p) => p.at && !p.notSeen).map((p) => ({ p, k })));
  return (
    <div className="crop" data-failed={failed || undefined}>
      <canvas ref={canvas} />
      <svg
        ref={svg}
        viewBox={`${x} ${y} ${width} ${height}`}
        preserveAspectRatio="none"
        role="img"
        aria-label={label}
        data-puts={onPut ? "" : undefined}
        onPointerDown={onDown}
        onPointerMove={onMove}
        onPointerUp={(e) => {
          if (drag?.kind === "put") putAt(drag, place(e));
          setDrag(null);
        }}
        onPointerCancel={() => setDrag(null)}
      >
        {pieces.map((piece, k) => {
          const [a, b] = piece;
          if (!a?.at || !b?.at || a.notSeen) return null;
          return (
            <line
              key={`${a.point} ${a.side}`}
              className="crop-piece"
              data-chosen={k === chosen || undefined}
              x1={a.at.xPx}
              y1={a.at.yPx}
              x2={b.at.xPx}
              y2={b.at.yPx}
            />
          );
        })}
        {shown.map(({ p, k }) => (
          <Dot key={`${p.point} ${p.side}`} p={p} area={area} isChosen={k === chosen} />
        ))}
      </svg>
      {failed && <p>This frame can't be shown.</p>}
    </div>
  );
}

/** Suggested is hollow and broken, put by the coach is whole; left is round, right is square. */
function Dot({ p, area, isChosen }: { p: RowPoint; area: Area; isChosen: boolean }) {
  const r = area.width / 24;
  const at = p.at as At;
  const shared = {
    className: `crop-dot ${p.side}`,
    "data-put": p.isPut || undefined,
    "data-chosen": isChosen || undefined,
  };
  return (
    <g>
      {p.side === "left" ? (
        <circle {...shared} cx={at.xPx} cy={at.yPx} r={r} />
      ) : (
        <rect {...shared} x={at.xPx - r} y={at.yPx - r} width={2 * r} height={2 * r} />
      )}
      <path
        className={`crop-cross ${p.side}`}
        d={`M${at.xPx - r / 3} ${at.yPx}h${(2 * r) / 3}M${at.xPx} ${at.yPx - r / 3}v${(2 * r) / 3}`}
      />
    </g>
  );
}
