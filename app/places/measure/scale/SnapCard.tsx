import { Button } from "@mantine/core";
import { useEffect, useRef, useState } from "react";
import { useStore } from "zustand";
import type { IcePoint } from "../../../../src/study/types.ts";
import { greyPart } from "../../../../src/suggest/pixels.ts";
import { type Snap, type Snapped, snapPoint } from "../../../../src/suggest/snapPoint.ts";
import { icePointsOn } from "../../../commands/ice/icePoints.ts";
import { setIcePoint } from "../../../commands/ice/setIcePoint.ts";
import { attempt } from "../../../store/attempt.ts";
import type { Measuring } from "../core/useMeasure.ts";

/** What is looked at about the point, px each way: the window of a cross, as far as a press may be off, and a rim. */
const REACH = 22;
/** What is shown of it, and how much larger. */
const SHOWN = 15;
const TIMES = 6;
/** Nearer than this to where it was put, px, nothing is gained. */
const SAME_PX = 0.1;

/** The ice point chosen, magnified, with the sharp place found beside it: to be looked at, and taken or left. */
export function SnapCard({ m }: { m: Measuring }) {
  const selected = useStore(m.ui, (s) => s.selected);
  const frame = useStore(m.session, (s) => s.frame);
  const point = icePointsOn(m.marks.iceReference, frame).find((p) => `ice ${p.label}` === selected);
  const here = useSnap(m, point, frame);
  if (!point || !here || m.readOnly) return null;
  const { snap } = here;
  const isThere = "kind" in snap && Math.hypot(snap.xPx - point.xPx, snap.yPx - point.yPx) < SAME_PX;
  return (
    <section className="snap-card" aria-label={`Snap ${point.label}`}>
      <Magnified bitmap={here.bitmap} point={point} snap={"kind" in snap && !isThere ? snap : null} />
      <div>
        <strong>{point.label}</strong>
        <p>{isThere ? `It lies on the ${snap.kind} seen here.` : snapWords(snap, point)}</p>
        {"kind" in snap && !isThere && (
          <Button size="compact-sm" variant="light" onClick={() => take(m, point, snap, frame)}>
            Snap {point.label} to it
          </Button>
        )}
      </div>
    </section>
  );
}

function snapWords(snap: Snap, point: IcePoint): string {
  if ("why" in snap) return snap.why;
  const away = Math.hypot(snap.xPx - point.xPx, snap.yPx - point.yPx).toFixed(1);
  const sure =
    snap.uPx === null ? "told across the line alone" : `±\u00a0${(1.96 * snap.uPx).toFixed(1)}\u00a0px`;
  return `A ${snap.kind} is seen ${away} px away, ${sure}. Is the orange cross on what you meant?`;
}

function take(
  m: Pick<Measuring, "session" | "trial" | "picture">,
  point: IcePoint,
  snap: Snapped,
  frame: number,
): void {
  const { uPx: _, ...place } = point;
  const { xPx, yPx, uPx } = snap;
  const rounded = { xPx: Math.round(100 * xPx) / 100, yPx: Math.round(100 * yPx) / 100 };
  const own = uPx === null ? {} : { uPx: Math.round(100 * uPx) / 100 };
  if (m.picture)
    attempt(m.session, setIcePoint, {
      ...{ trial: m.trial.id, frame, picture: m.picture },
      point: { ...place, ...rounded, ...own },
    });
}

interface Here {
  readonly key: string;
  readonly snap: Snap;
  readonly bitmap: ImageBitmap;
}

/** Looks at the frame's own pixels about the point; null until it has. */
function useSnap(
  m: Pick<Measuring, "shell" | "picture">,
  point: IcePoint | undefined,
  frame: number,
): Here | null {
  const [here, setHere] = useState<Here | null>(null);
  const clip = m.picture?.clip;
  const key = point && clip ? `${clip} ${frame} ${point.label} ${point.xPx} ${point.yPx}` : "";
  const at = useRef(point);
  at.current = point;
  const { shell } = m;
  useEffect(() => {
    const { current } = at;
    if (key === "" || !current || clip === undefined) return;
    let isGone = false;
    lookAt(shell.frameUrl(clip, frame), current)
      .then((found) => {
        if (!isGone) setHere({ key, ...found });
      })
      // Without a picture nothing is offered; the picture itself says why it is not there.
      .catch(() => undefined);
    return () => {
      isGone = true;
    };
  }, [key, clip, frame, shell]);
  return here?.key === key ? here : null;
}

async function lookAt(url: string, { xPx, yPx }: IcePoint): Promise<Omit<Here, "key">> {
  const answer = await fetch(url);
  if (!answer.ok) throw new Error(`frame ${answer.status}`);
  const bitmap = await createImageBitmap(await answer.blob());
  const [left, top] = [Math.max(0, Math.round(xPx) - REACH), Math.max(0, Math.round(yPx) - REACH)];
  const width = Math.min(bitmap.width - left, 2 * REACH + 1);
  const height = Math.min(bitmap.height - top, 2 * REACH + 1);
  const pen = new OffscreenCanvas(width, height).getContext("2d")!;
  pen.drawImage(bitmap, left, top, width, height, 0, 0, width, height);
  const { data } = pen.getImageData(0, 0, width, height);
  const grey = greyPart({ width, height, data }, { x: 0, y: 0 }, { x: width, y: height })!;
  return { bitmap, snap: snapPoint({ ...grey, left, top }, { xPx, yPx }) };
}

/** Where it was put is a square, as on the picture; what is found is a cross. */
function Magnified(props: { bitmap: ImageBitmap; point: IcePoint; snap: Snapped | null }) {
  const { bitmap, point, snap } = props;
  const canvas = useRef<HTMLCanvasElement>(null);
  const [x, y] = [point.xPx - SHOWN, point.yPx - SHOWN];
  const size = 2 * SHOWN * TIMES;
  useEffect(() => {
    const pen = canvas.current?.getContext("2d");
    if (!pen) return;
    pen.imageSmoothingEnabled = false;
    pen.clearRect(0, 0, size, size);
    // Where (0, 0) is the centre of the first pixel its edge lies half a pixel before.
    pen.drawImage(bitmap, x + 0.5, y + 0.5, 2 * SHOWN, 2 * SHOWN, 0, 0, size, size);
  }, [bitmap, x, y, size]);
  return (
    <div className="snap-picture">
      <canvas ref={canvas} width={size} height={size} />
      <svg
        viewBox={`${x} ${y} ${2 * SHOWN} ${2 * SHOWN}`}
        role="img"
        aria-label={`${point.label}, magnified`}
      >
        <rect className="snap-put" x={point.xPx - 2} y={point.yPx - 2} width={4} height={4} />
        {snap && (
          <path className="snap-found" d={`M${snap.xPx - 3} ${snap.yPx}h6M${snap.xPx} ${snap.yPx - 3}v6`} />
        )}
      </svg>
    </div>
  );
}
