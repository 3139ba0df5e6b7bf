import type Konva from "konva";
import { type ReactNode, useEffect, useLayoutEffect, useMemo, useRef, useState } from "react";
import { Group, Image as KonvaImage, Layer, Stage } from "react-konva";
import { createStore } from "zustand/vanilla";
import type { PicturePoint } from "../../src/ice/types.ts";
import type { ClipIndex } from "../../src/study/exchange.ts";
import type { Side } from "../../src/study/types.ts";
import { useSize } from "../frame/useSize.ts";
import { typing } from "../frame/useUndoKeys.ts";
import { CursorShape } from "./CursorShape.tsx";
import type { DrawnMark } from "./drawnMark.ts";
import { labelPlaces } from "./labelPlaces.ts";
import { Magnifier, type Pointer } from "./Magnifier.tsx";
import { MarkShape } from "./MarkShape.tsx";
import { type Corner, opposite, type Spot } from "./topCorner.ts";
import { useCursor } from "./useCursor.ts";
import { type FollowFrame, useFrames } from "./useFrames.ts";
import { useGestures } from "./useGestures.ts";
import { centreOn, fitView, type Size, toStage, type View, zoomAt } from "./view.ts";

export interface PictureProps {
  readonly index: ClipIndex;
  readonly frame: number;
  /** Frames one is likely to go to next, likeliest first. */
  readonly likely: readonly number[];
  frameUrl(clip: string, frame: number): string;
  readonly followFrame: FollowFrame;
  readonly marks: readonly DrawnMark[];
  readonly selected: string | null;
  readonly namesShown: boolean;
  /** Where the skater is, as far as known; "Skater" zooms there. */
  readonly focus: PicturePoint | null;
  /** Nothing may be put or moved on this frame, even when it is there. */
  readonly closed: boolean;
  /** What a press puts on the picture; null: nothing is asked for. */
  readonly placing: { readonly side: Side | null; readonly label: string } | null;
  /** Places on the picture that are about to be marked. */
  readonly expected: readonly PicturePoint[];
  /** The top corner where the card lies; the magnifier takes the other. */
  readonly card: Corner;
  /** Drawn under the marks, in picture coordinates; `scale` is stage px per picture px. */
  overlay?(scale: number): ReactNode;
  /** Shown on the frame. `exact`: the wanted frame is on the canvas. */
  children?(state: {
    shown: number | null;
    exact: boolean;
    failure: string | null;
    busy: boolean;
    /** Where on the stage the points lie that a hand may want to press. */
    spots: readonly Spot[];
    stage: Size;
  }): ReactNode;
  onPlace(at: PicturePoint): void;
  onMove(id: string, at: PicturePoint): void;
  onSelect(id: string | null): void;
  onRefused(): void;
  /** Which frame the canvas holds now; `failed`: the wanted one cannot be had. */
  onScreen(frame: number | null, failed: boolean): void;
}

/** How many times larger than the whole picture the skater is shown. */
const SKATER_ZOOM = 4;

/** One frame of a clip with what is marked on it. The canvas holds the frame it says, or says which one it holds. */
export function Picture(props: PictureProps) {
  const { index, frame, marks, placing } = props;
  const host = useRef<HTMLDivElement>(null);
  const layer = useRef<Konva.Layer>(null);
  const stage = useSize(host);
  const picture = useMemo(() => ({ width: index.width, height: index.height }), [index.width, index.height]);
  const pointer = useMemo(() => createStore<Pointer>(() => ({ at: null, inItsCorner: false })), []);
  const [zoomed, setZoomed] = useState<View | null>(null);
  const fit = useMemo(() => fitView(picture, stage), [picture, stage]);
  const view = zoomed ?? fit;
  const { shown, failure, drawn } = useFrames(index, frame, props.likely, props.frameUrl, props.followFrame);
  const exact = shown?.frame === frame;
  const whole = exact && shown.whole;
  // Where a mark lies does not depend on how many pixels the picture has just now, but how well it can be aimed does.
  const open = whole && !props.closed;

  const magnifier = opposite(props.card);

  const { draft, grabbing, handlers, cancel } = useGestures(
    { ...props, magnifier, placing: placing !== null, picture, stage, view, setView: setZoomed, exact: open },
    host,
    pointer,
  );
  const cursor = useCursor(
    {
      picture,
      stage,
      view,
      magnifier,
      frame,
      exact: open,
      placing: placing !== null,
      start: props.focus,
      setView: setZoomed,
      onPlace: props.onPlace,
      onRefused: props.onRefused,
    },
    host,
    pointer,
  );

  const tell = useRef(props.onScreen);
  tell.current = props.onScreen;

  // biome-ignore lint/correctness/useExhaustiveDependencies: a clip of another size, or another window, starts whole again
  useEffect(() => setZoomed(null), [picture, stage]);

  // biome-ignore lint/correctness/useExhaustiveDependencies: a moved or resized picture is drawn at once too
  useLayoutEffect(() => {
    // Drawn at once, so that what the attributes below say and what the canvas holds never differ; and only when
    // something is to be drawn: at a press the processor is needed for the picture that is wanted.
    layer.current?.draw();
    drawn(shown?.bitmap ?? null);
  }, [shown, drawn, view, stage]);

  useLayoutEffect(() => {
    const data = host.current?.dataset;
    if (!data) return;
    data.wantedFrame = String(frame);
    if (shown) data.shownFrame = String(shown.frame);
    else delete data.shownFrame;
    if (shown?.whole) data.wholeFrame = String(shown.frame);
    else delete data.wholeFrame;
    tell.current(shown?.frame ?? null, failure !== null);
  }, [shown, failure, frame]);

  useEffect(() => {
    const element = host.current;
    if (!element) return;
    const onWheel = (e: WheelEvent) => {
      e.preventDefault();
      const box = element.getBoundingClientRect();
      const factor = Math.exp(-e.deltaY * (e.deltaMode === 1 ? 0.05 : 0.0015));
      setZoomed((now) => {
        const next = zoomAt(now ?? fit, factor, e.clientX - box.left, e.clientY - box.top, picture, stage);
        return next.scale <= fit.scale ? null : next;
      });
    };
    element.addEventListener("wheel", onWheel, { passive: false });
    return () => element.removeEventListener("wheel", onWheel);
  }, [fit, picture, stage]);

  const zoomBy = (factor: number) =>
    setZoomed((now) => {
      const next = zoomAt(now ?? fit, factor, stage.width / 2, stage.height / 2, picture, stage);
      return next.scale <= fit.scale ? null : next;
    });
  const { focus } = props;
  const toSkater = () => {
    if (focus) setZoomed(centreOn(focus, fit.scale * SKATER_ZOOM, picture, stage));
  };
  useZoomKeys({ zoomBy, fit: () => setZoomed(null), toSkater, turnCursor: cursor.turn, cancel });

  const place = { x: view.x, y: view.y, scaleX: view.scale, scaleY: view.scale };
  const spots = [...(exact ? marks : []), ...props.expected, ...(props.focus ? [props.focus] : [])].map((p) =>
    toStage(view, p),
  );
  const visible = exact ? marks.map((m) => (m.id === draft?.id ? { ...m, ...draft.at } : m)) : [];
  const names = labelPlaces(visible.map((m) => ({ ...toStage(view, m), label: m.label })));
  return (
    <div className="picture" data-busy={draft ? "" : undefined}>
      <div
        className="picture-stage"
        ref={host}
        data-testid="picture"
        role="application"
        aria-label="Picture. C turns a cursor on: arrows move it, Enter puts the point."
        // biome-ignore lint/a11y/noNoninteractiveTabindex: points are put here by keyboard too
        tabIndex={0}
        data-placing={placing && open ? "" : undefined}
        data-grabbing={grabbing ? "" : undefined}
        {...handlers}
        onPointerDown={(e) => {
          cursor.off();
          handlers.onPointerDown(e);
        }}
        onKeyDown={cursor.onKeyDown}
        onBlur={cursor.off}
      >
        <Stage width={stage.width} height={stage.height} listening={false}>
          <Layer ref={layer} listening={false} imageSmoothingEnabled={view.scale < 3}>
            <Group {...place}>
              {shown && (
                <KonvaImage
                  image={shown.bitmap}
                  x={-0.5}
                  y={-0.5}
                  width={picture.width}
                  height={picture.height}
                />
              )}
            </Group>
          </Layer>
          <Layer listening={false}>
            <Group {...place}>{exact && props.overlay?.(view.scale)}</Group>
          </Layer>
          <Layer listening={false}>
            <Group {...place}>
              {visible.map((mark, i) => (
                <MarkShape
                  key={mark.id}
                  mark={mark}
                  scale={view.scale}
                  selected={mark.id === props.selected}
                  name={
                    props.namesShown || mark.id === props.selected || mark.id === draft?.id ? names[i]! : null
                  }
                />
              ))}
              {draft?.id === null && placing && (
                <MarkShape
                  mark={{ id: "", ...draft.at, ...placing }}
                  scale={view.scale}
                  selected
                  name={null}
                />
              )}
              {cursor.at && <CursorShape at={cursor.at} scale={view.scale} />}
            </Group>
          </Layer>
        </Stage>
      </div>
      <Magnifier
        pointer={pointer}
        bitmap={shown?.whole ? shown.bitmap : null}
        marks={visible}
        corner={magnifier}
      />
      {cursor.at && (
        <p className="cursor-words" role="status">
          {cursor.justPut
            ? "Put. Move the cursor to the next point."
            : "Arrows 10 px, Shift 1, Alt 0.1. Enter puts the point, C ends."}
        </p>
      )}
      <fieldset className="zoom" aria-label="Zoom">
        <button type="button" onClick={() => zoomBy(1.5)} aria-label="Zoom in">
          +
        </button>
        <button type="button" onClick={() => zoomBy(1 / 1.5)} aria-label="Zoom out" disabled={!zoomed}>
          −
        </button>
        <button type="button" onClick={toSkater} disabled={!focus} title="Zoom to the skater (Z)">
          Skater
        </button>
        <button type="button" onClick={() => setZoomed(null)} disabled={!zoomed} title="Whole picture (0)">
          Fit
        </button>
      </fieldset>
      {props.children?.({ shown: shown?.frame ?? null, exact, failure, busy: draft !== null, spots, stage })}
    </div>
  );
}

interface ZoomKeys {
  zoomBy(factor: number): void;
  fit(): void;
  toSkater(): void;
  turnCursor(): void;
  cancel(): void;
}

function useZoomKeys(keys: ZoomKeys): void {
  const latest = useRef(keys);
  latest.current = keys;
  useEffect(() => {
    const onKey = (e: KeyboardEvent) => {
      if (typing(e.target) || (e.target instanceof Element && e.target.closest("[role=dialog], select")))
        return;
      if (e.ctrlKey || e.metaKey || e.altKey) return;
      if (e.key === "+" || e.key === "=") latest.current.zoomBy(1.5);
      if (e.key === "-") latest.current.zoomBy(1 / 1.5);
      if (e.key === "0") latest.current.fit();
      if (e.key === "z") latest.current.toSkater();
      if (e.key === "c" && !e.repeat) latest.current.turnCursor();
      if (e.key === "Escape") latest.current.cancel();
    };
    window.addEventListener("keydown", onKey);
    return () => window.removeEventListener("keydown", onKey);
  }, []);
}
