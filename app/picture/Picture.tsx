import type Konva from "konva";
import { type PointerEvent, type ReactNode, useMemo, useRef } from "react";
import { createStore } from "zustand/vanilla";
import type { PicturePoint } from "../../src/ice/types.ts";
import type { ClipIndex } from "../../src/study/exchange.ts";
import type { Side } from "../../src/study/types.ts";
import { useSize } from "../frame/useSize.ts";
import { CursorShape } from "./CursorShape.tsx";
import { cursorWords } from "./cursorWords.ts";
import { DrawnMarks } from "./DrawnMarks.tsx";
import { type DrawnMark, type Placing, rounded } from "./drawnMark.ts";
import { AIMED_HEIGHT, type Aimed, followView, type SkaterPlace } from "./follow.ts";
import { labelPlaces } from "./labelPlaces.ts";
import { ghostOf, Magnifier, type Pointer } from "./Magnifier.tsx";
import { PictureLayers } from "./PictureLayers.tsx";
import { useCursor } from "./useCursor.ts";
import { useDrawnAtOnce } from "./useDrawnAtOnce.ts";
import { type FollowFrame, useFrames } from "./useFrames.ts";
import { type Move, useGestures } from "./useGestures.ts";
import { useTellShown } from "./useTellShown.ts";
import { useZoom } from "./useZoom.ts";
import { useZoomKeys } from "./useZoomKeys.ts";
import { toPicture, toStage, type View } from "./view.ts";
import { ZoomButtons } from "./ZoomButtons.tsx";
import "./picture.css";

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
  /** Where the skater is on a frame, seen so many metres over the ice; null = the view is laid by hand alone. */
  readonly skater: ((frame: number, height: number, pushing: Side | null) => SkaterPlace | null) | null;
  /** What one aims for on this frame. */
  readonly aimed: Aimed;
  /** The blade that pushes there; null = not known. */
  readonly pushing: Side | null;
  /** Nothing may be put or moved on this frame, even when it is there. */
  readonly closed: boolean;
  /** What a press puts on the picture; null: nothing is asked for. */
  readonly placing: Placing | null;
  /** Places on the picture that a press puts, whatever else is asked for. */
  readonly targets: readonly (PicturePoint & { readonly label: string })[];
  /** Stands in the bar under the picture, beside the zoom. */
  readonly bar?: ReactNode;
  /** Right under the picture, as wide as it. */
  readonly edge?: ReactNode;
  /** Drawn under the marks, in picture coordinates; `scale` is stage px per picture px. */
  overlay?(scale: number): ReactNode;
  /** Stands under the picture. `exact`: the wanted frame is on the canvas; `cursorWords`: what the keys do while the cursor is on. */
  children?(state: {
    shown: number | null;
    exact: boolean;
    failure: string | null;
    cursorWords: string | null;
  }): ReactNode;
  /** `to`: the other end of a piece, where the press was let go; null = one point. */
  onPlace(at: PicturePoint, to: PicturePoint | null): void;
  onTarget(label: string, at: PicturePoint): void;
  onMove(id: string, at: PicturePoint): void;
  onMovePiece(moves: readonly [Move, Move]): void;
  onSelect(id: string | null): void;
  onRefused(): void;
  /** Which frame the canvas holds now; `failed`: the wanted one cannot be shown. */
  onScreen(frame: number | null, failed: boolean): void;
}

/** One frame of a clip with what is marked on it. The canvas holds the frame it says, or says which one it holds. */
export function Picture(props: PictureProps) {
  const { index, frame, marks, placing } = props;
  const host = useRef<HTMLDivElement>(null);
  const layer = useRef<Konva.Layer>(null);
  const stage = useSize(host);
  const picture = useMemo(() => ({ width: index.width, height: index.height }), [index.width, index.height]);
  const pointer = useMemo(() => createStore<Pointer>(() => ({ at: null, corner: "right" })), []);
  const { shown, failure, drawn } = useFrames({ ...props, follow: props.followFrame, sharers: 1 });
  const { skater, aimed, pushing } = props;
  const place = (on: number) => skater?.(on, AIMED_HEIGHT[aimed], pushing) ?? null;
  const zoom = useZoom(
    {
      picture,
      stage,
      // With what the canvas holds: a view that went ahead of it would show the frame before at the wrong place.
      shown: shown?.frame ?? null,
      aimed: skater ? `${aimed} ${pushing}` : "",
      followed: (on) => {
        const at = place(on);
        return at && followView(at, aimed, picture, stage);
      },
    },
    host,
  );
  const { view, setView } = zoom;
  const exact = shown?.frame === frame;
  const whole = exact && shown.whole;
  // Where a mark lies does not depend on how many pixels the picture has just now, but how well it can be aimed does.
  const open = whole && !props.closed;

  const ghosts = useRef(new Map<string, CanvasImageSource>());
  const onPlace = (at: PicturePoint, to: PicturePoint | null) => {
    if (placing && shown?.whole) ghosts.current.set(placing.label, ghostOf(shown.bitmap, at));
    props.onPlace(at, to);
  };
  const hand = {
    ...props,
    onPlace,
    placing: placing !== null,
    hasEnd: placing?.dragsTo !== undefined,
    picture,
    stage,
    view,
    setView,
    exact: open,
  };
  const { draft, grabbing, handlers, cancel } = useGestures(hand, host, pointer);
  const cursor = useCursor(
    { ...hand, setView: zoom.glance, start: () => place(frame)?.at ?? null },
    host,
    pointer,
  );

  /** A place that is only to be pressed. */
  function pressTarget(e: PointerEvent): boolean {
    const box = host.current?.getBoundingClientRect();
    if (!box || !open || e.button !== 0 || e.ctrlKey) return false;
    const at = { x: e.clientX - box.left, y: e.clientY - box.top };
    const target = nearestTarget(props.targets, view, at);
    if (!target) return false;
    props.onTarget(target.label, rounded(toPicture(view, at.x, at.y)));
    return true;
  }

  useDrawnAtOnce(layer, shown, drawn, view, stage);
  useTellShown({ host, frame, shown, failure, view, onScreen: props.onScreen });
  useZoomKeys({ ...zoom, turnCursor: cursor.turn, cancel });

  const visible = exact ? marks.map((m) => ({ ...m, ...draft?.find((d) => d.id === m.id)?.at })) : [];
  const names = labelPlaces(visible.map((m) => ({ ...toStage(view, m), label: m.label })));
  return (
    <div className="picture" data-busy={draft ? "" : undefined}>
      <div className="picture-area">
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
            if (!pressTarget(e)) handlers.onPointerDown(e);
          }}
          onKeyDown={cursor.onKeyDown}
          onBlur={cursor.off}
        >
          <PictureLayers
            stage={stage}
            picture={picture}
            view={view}
            shown={shown}
            layer={layer}
            overlay={exact && props.overlay?.(view.scale)}
          >
            <DrawnMarks
              marks={visible}
              scale={view.scale}
              selected={props.selected}
              namesShown={props.namesShown}
              names={names}
              draft={draft}
              placing={placing}
            />
            {cursor.at && <CursorShape at={cursor.at} scale={view.scale} />}
          </PictureLayers>
        </div>
        <Magnifier
          pointer={pointer}
          bitmap={shown?.whole ? shown.bitmap : null}
          marks={visible}
          wanted={placing !== null || draft !== null}
          ghost={(placing && ghosts.current.get(placing.label)) ?? null}
        />
      </div>
      {props.edge}
      <div className="picture-bar">
        {props.bar}
        <ZoomButtons zoom={zoom} known={place(frame) !== null} />
      </div>
      {props.children?.({
        shown: shown?.frame ?? null,
        exact,
        failure,
        cursorWords: cursor.at && cursorWords(cursor.justPut),
      })}
    </div>
  );
}

/** Half of a dashed square and a little, CSS px. */
const TARGET_REACH = 10;

function nearestTarget(targets: PictureProps["targets"], view: View, { x, y }: { x: number; y: number }) {
  const away = (p: PicturePoint) => {
    const at = toStage(view, p);
    return Math.max(Math.abs(at.x - x), Math.abs(at.y - y));
  };
  const near = targets.filter((t) => away(t) <= TARGET_REACH);
  return near.sort((a, b) => away(a) - away(b))[0] ?? null;
}
