import { useEffect, useRef } from "react";
import type { StoreApi } from "zustand/vanilla";
import type { PicturePoint } from "../../src/ice/types.ts";
import { colours } from "../frame/colours.ts";
import type { DrawnMark } from "./drawnMark.ts";
import type { Corner } from "./topCorner.ts";

export interface Pointer {
  /** Where the magnifier looks; null hides it. */
  readonly at: PicturePoint | null;
  /** The top corner of the picture where the magnifier covers neither `at` nor what one aims for. */
  readonly corner: Corner;
}

const SIZE = 176;
const TIMES = 8;
/** Side of the ghost, px. */
const GHOST = 60;

interface Props {
  readonly pointer: StoreApi<Pointer>;
  readonly bitmap: ImageBitmap | null;
  readonly marks: readonly DrawnMark[];
  /** A point is being put or moved; otherwise it is not shown. */
  readonly wanted: boolean;
  /** Where the same point was put last, on another frame; null = not yet. */
  readonly ghost: CanvasImageSource | null;
}

/**
 * The picture around the pointer, eight times its own pixels, with a crosshair, the coordinates to 0.1 px, and where the
 * same point was put last.
 */
export function Magnifier({ pointer, bitmap, marks, wanted, ghost }: Props) {
  const frame = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const text = useRef<HTMLSpanElement>(null);

  useEffect(() => {
    const draw = () => {
      const { at, corner } = pointer.getState();
      const shown = wanted && at !== null && bitmap !== null;
      if (!frame.current || !canvas.current || !text.current) return;
      frame.current.hidden = !shown;
      frame.current.dataset.corner = corner;
      if (!shown) return;
      text.current.textContent = `${TIMES} x   ${at.xPx.toFixed(1)}, ${at.yPx.toFixed(1)} px`;
      paint(canvas.current, bitmap, at, marks, ghost);
    };
    draw();
    return pointer.subscribe(draw);
  }, [pointer, bitmap, marks, wanted, ghost]);

  return (
    <div className="magnifier" ref={frame} hidden aria-hidden="true">
      <canvas ref={canvas} style={{ width: SIZE, height: SIZE }} />
      <span ref={text} />
    </div>
  );
}

function paint(
  canvas: HTMLCanvasElement,
  bitmap: ImageBitmap,
  at: PicturePoint,
  marks: readonly DrawnMark[],
  ghost: CanvasImageSource | null,
): void {
  const density = window.devicePixelRatio || 1;
  const side = Math.round(SIZE * density);
  if (canvas.width !== side) {
    canvas.width = side;
    canvas.height = side;
  }
  const pen = canvas.getContext("2d");
  if (!pen) return;
  const zoom = TIMES * density;
  const middle = side / 2;
  pen.setTransform(1, 0, 0, 1, 0, 0);
  pen.fillStyle = "#20303b";
  pen.fillRect(0, 0, side, side);
  // Pixels stay squares: what is marked is what the camera saw. (0, 0) is the centre of the first pixel.
  pen.imageSmoothingEnabled = false;
  pen.setTransform(zoom, 0, 0, zoom, middle - (at.xPx + 0.5) * zoom, middle - (at.yPx + 0.5) * zoom);
  pen.drawImage(bitmap, 0, 0);
  pen.setTransform(density, 0, 0, density, 0, 0);
  const half = SIZE / 2;
  for (const mark of marks) {
    const x = half + (mark.xPx - at.xPx) * TIMES;
    const y = half + (mark.yPx - at.yPx) * TIMES;
    if (Math.max(Math.abs(x - half), Math.abs(y - half)) > half + 8) continue;
    if (Math.hypot(x - half, y - half) < 2) continue;
    const colour = mark.side === null ? colours.iceMark : colours.mark[mark.side];
    pen.beginPath();
    pen.arc(x, y, 6, 0, 2 * Math.PI);
    pen.lineWidth = 2.5;
    pen.strokeStyle = "#fff";
    pen.stroke();
    pen.lineWidth = 1.5;
    pen.strokeStyle = colour;
    pen.stroke();
    if (mark.side === "right") {
      pen.fillStyle = colour;
      pen.fill();
    }
  }
  cross(pen, half, SIZE);
  if (!ghost) return;
  // The same place as it was chosen last, small in a corner, to choose it alike.
  pen.globalAlpha = 0.9;
  pen.drawImage(ghost, 0, SIZE - GHOST, GHOST, GHOST);
  pen.globalAlpha = 1;
  pen.lineWidth = 1;
  pen.strokeStyle = "#fff";
  pen.strokeRect(0.5, SIZE - GHOST - 0.5, GHOST, GHOST);
}

/** What the picture shows around a point that was put, with a cross on it. */
export function ghostOf(bitmap: ImageBitmap, at: PicturePoint): CanvasImageSource {
  const canvas = document.createElement("canvas");
  const side = 2 * GHOST;
  canvas.width = side;
  canvas.height = side;
  const pen = canvas.getContext("2d");
  if (!pen) return canvas;
  const zoom = TIMES;
  pen.imageSmoothingEnabled = false;
  pen.setTransform(zoom, 0, 0, zoom, side / 2 - (at.xPx + 0.5) * zoom, side / 2 - (at.yPx + 0.5) * zoom);
  pen.drawImage(bitmap, 0, 0);
  pen.setTransform(2, 0, 0, 2, 0, 0);
  cross(pen, GHOST / 2, GHOST);
  return canvas;
}

/** A thin cross with a free middle, dark on light so that it shows on ice and on a skate. */
function cross(pen: CanvasRenderingContext2D, half: number, size: number): void {
  for (const [width, colour] of [
    [3, "rgba(255,255,255,.75)"],
    [1, colours.accent],
  ] as const) {
    pen.lineWidth = width;
    pen.strokeStyle = colour;
    pen.beginPath();
    for (const [from, to] of [
      [0, half - 5],
      [half + 5, size],
    ] as const) {
      pen.moveTo(from, half);
      pen.lineTo(to, half);
      pen.moveTo(half, from);
      pen.lineTo(half, to);
    }
    pen.stroke();
  }
  pen.fillStyle = colours.accent;
  pen.fillRect(half - 0.75, half - 0.75, 1.5, 1.5);
}
