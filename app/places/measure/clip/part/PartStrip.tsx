import { type KeyboardEvent, type PointerEvent, useMemo, useRef } from "react";
import { clipTimeText } from "../../../../../src/time/clipTime.ts";
import { useSize } from "../../../../frame/useSize.ts";
import type { Shell } from "../../../../shell/Shell.ts";
import { cells, type Span, withEnd } from "./stripView.ts";
import { useGlimpses } from "./useGlimpses.ts";

export interface OtherPart extends Span {
  readonly name: string;
}

interface Props {
  readonly shell: Pick<Shell, "glimpse">;
  readonly clip: string;
  readonly label: string;
  /** What the strip spans. */
  readonly span: Span;
  readonly lasts: number;
  readonly part: Span | null;
  /** Parts of the same film that show other trials. */
  readonly others: readonly OtherPart[];
  readonly disabled: boolean;
  onPart(part: Span): void;
  /** A press that drags nothing. */
  onPress(seconds: number): void;
}

/** A hand takes hold of an end from so far, px. */
const REACH = 12;
const MOVED = 4;

interface Drag {
  readonly x: number;
  /** The end that stays. */
  readonly held: number;
  /** The end that goes with the hand, as it was. */
  readonly moving: number;
  moved: boolean;
}

/** Pictures of a clip by their time; the part is drawn over them, and drawn anew by dragging. */
export function PartStrip(props: Props) {
  const { span, part, lasts, disabled } = props;
  const host = useRef<HTMLDivElement>(null);
  const { width } = useSize(host);
  const row = useMemo(() => (width > 1 ? cells(span, width) : []), [span, width]);
  const seen = useGlimpses(props.shell, props.clip, row);
  const drag = useRef<Drag | null>(null);
  const share = (seconds: number) => `${(100 * (seconds - span.from)) / (span.to - span.from)}%`;
  const within = (seconds: number) => Math.max(span.from, Math.min(span.to, seconds));

  const secondsAt = (x: number) => {
    const box = host.current?.getBoundingClientRect();
    return box ? within(span.from + ((x - box.left) / box.width) * (span.to - span.from)) : span.from;
  };
  const px = (seconds: number) => (seconds * width) / (span.to - span.from);

  function onPointerDown(e: PointerEvent<HTMLDivElement>) {
    if (e.button !== 0 || disabled) return;
    e.currentTarget.setPointerCapture(e.pointerId);
    const at = secondsAt(e.clientX);
    const ends = part ? [part.from, part.to] : [];
    const near = ends
      .filter((end) => Math.abs(px(end - at)) < REACH)
      .sort((a, b) => Math.abs(a - at) - Math.abs(b - at))[0];
    drag.current =
      near === undefined
        ? { x: e.clientX, held: at, moving: at, moved: false }
        : { x: e.clientX, held: ends.find((end) => end !== near) ?? near, moving: near, moved: false };
  }
  function onPointerMove(e: PointerEvent<HTMLDivElement>) {
    const now = drag.current;
    if (!now) return;
    now.moved ||= Math.abs(e.clientX - now.x) >= MOVED;
    if (!now.moved) return;
    const to = now.moving + secondsAt(e.clientX) - secondsAt(now.x);
    props.onPart(withEnd({ from: now.held, to: now.held }, "to", within(to), lasts));
  }
  function onPointerUp(e: PointerEvent<HTMLDivElement>) {
    const now = drag.current;
    drag.current = null;
    if (now && !now.moved) props.onPress(secondsAt(e.clientX));
  }

  return (
    <div
      ref={host}
      className="part-strip"
      role="application"
      aria-label={props.label}
      onPointerDown={onPointerDown}
      onPointerMove={onPointerMove}
      onPointerUp={onPointerUp}
      onPointerCancel={() => {
        drag.current = null;
      }}
    >
      <div className="part-cells" aria-hidden="true">
        {row.map((cell) => {
          const picture = seen.get(cell.at);
          return (
            <div key={cell.at} className="part-cell" data-waits={picture === undefined || undefined}>
              {picture && (
                <img src={picture.url} alt="" draggable={false} title={`at ${clipTimeText(picture.time)}`} />
              )}
              <span className="number">{clipTimeText(Number(cell.from.toFixed(1)))}</span>
            </div>
          );
        })}
      </div>
      {props.others.map((other) => (
        <div
          key={other.name}
          className="part-other"
          title={other.name}
          style={{ left: share(within(other.from)), right: `calc(100% - ${share(within(other.to))})` }}
        />
      ))}
      {part && part.to >= span.from && part.from <= span.to && (
        <div
          className="part-chosen"
          style={{ left: share(within(part.from)), right: `calc(100% - ${share(within(part.to))})` }}
        >
          {(["from", "to"] as const).map((end) => (
            <End key={end} {...{ end, part, lasts, disabled }} onPart={props.onPart} />
          ))}
        </div>
      )}
    </div>
  );
}

interface EndProps extends Pick<Props, "lasts" | "disabled" | "onPart"> {
  readonly end: "from" | "to";
  readonly part: Span;
}

/** An end of the part, moved by arrows too: a tenth of a second, with Shift a second. */
function End({ end, part, lasts, disabled, onPart }: EndProps) {
  const onKeyDown = (e: KeyboardEvent) => {
    const by = e.key === "ArrowRight" ? 1 : e.key === "ArrowLeft" ? -1 : 0;
    if (by === 0 || disabled) return;
    e.preventDefault();
    e.stopPropagation();
    const at = part[end] + by * (e.shiftKey ? 1 : 0.1);
    // Under the keys an end stays the end it is.
    const limited = end === "from" ? Math.min(at, part.to) : Math.max(at, part.from);
    onPart(withEnd(part, end, limited, lasts));
  };
  return (
    <div
      className={`part-end-handle ${end}`}
      role="slider"
      tabIndex={0}
      aria-label={end === "from" ? "Where the part begins" : "Where the part ends"}
      aria-valuemin={0}
      aria-valuemax={lasts}
      aria-valuenow={part[end]}
      aria-valuetext={clipTimeText(part[end])}
      onKeyDown={onKeyDown}
    />
  );
}
