import { memo, type PointerEvent, useRef } from "react";
import type { EventFrame, EventName, Side } from "../../src/study/types.ts";
import { eventWords } from "../commands/words.ts";
import { useSize } from "../frame/useSize.ts";
import { timeText } from "../store/time.ts";
import { BAND, EventTick } from "./EventTick.tsx";
import { bands, ticks } from "./ribbonModel.ts";
import "./ribbon.css";

export interface Proposed {
  readonly event: EventName;
  readonly side: Side;
  readonly frame: number;
}

interface Props {
  readonly events: readonly EventFrame[];
  readonly proposed: readonly Proposed[];
  /** Clip times of the frames that are ready, seconds. */
  readonly times: readonly number[];
  readonly frame: number;
  /** First and last frame of the clip or of its part, as far as known: what the ribbon spans. */
  readonly first: number;
  readonly last: number;
  readonly speedFactor: number;
  onFrame(frame: number): void;
  /** The frame under the pointer, to which a press would go; null = none. */
  onAim(frame: number | null): void;
  frameAt(times: readonly number[], seconds: number): number;
}

const LEFT = 64;
const RIGHT = 24;
const LANES: Record<Side, number> = { left: 26, right: 66 };
const AXIS = 106;
export const RIBBON_HEIGHT = 130;

/** Time from left to right, a band for each blade, the event frames, and where one is; drag it to move in time. */
export function Ribbon(props: Props) {
  const { events, proposed, times, frame, first, last, speedFactor } = props;
  const host = useRef<HTMLDivElement>(null);
  const { width } = useSize(host);
  // Without its clip a marked trial still has the times of its events.
  const end =
    times[Math.min(last, times.length - 1)] ?? events.reduce((most, e) => Math.max(most, e.time), 0) * 1.05;
  const start = Math.min(end, times[first] ?? 0);
  const inner = Math.max(1, width - LEFT - RIGHT);
  const now = times[frame];
  const dragging = useRef(false);

  const under = (e: PointerEvent): number | null => {
    const box = host.current?.getBoundingClientRect();
    if (!box || end <= 0) return null;
    const t = start + ((e.clientX - box.left - LEFT) / inner) * (end - start);
    return props.frameAt(times, Math.max(start, Math.min(end, t)));
  };
  const moveTo = (e: PointerEvent) => {
    const at = under(e);
    if (at !== null) props.onFrame(at);
  };

  const nowX = now === undefined ? null : xAt(now, start, end, inner);
  return (
    <div
      className="ribbon"
      ref={host}
      role="slider"
      tabIndex={0}
      aria-label="Stride ribbon: time of the clip"
      aria-valuemin={first}
      aria-valuemax={last}
      aria-valuenow={frame}
      aria-valuetext={now === undefined ? `frame ${frame}` : `frame ${frame}, ${timeText(now, speedFactor)}`}
      onPointerDown={(e) => {
        if (e.button !== 0) return;
        e.currentTarget.setPointerCapture(e.pointerId);
        dragging.current = true;
        moveTo(e);
      }}
      onPointerMove={(e) => (dragging.current ? moveTo(e) : props.onAim(under(e)))}
      onPointerLeave={() => props.onAim(null)}
      onPointerUp={() => {
        dragging.current = false;
      }}
      onPointerCancel={() => {
        dragging.current = false;
      }}
    >
      <svg width={width} height={RIBBON_HEIGHT} aria-hidden="true">
        <Still
          events={events}
          proposed={proposed}
          times={times}
          speedFactor={speedFactor}
          start={start}
          end={end}
          inner={inner}
          onFrame={props.onFrame}
          onAim={props.onAim}
        />
        {nowX !== null && now !== undefined && (
          <g>
            <line className="ribbon-now" x1={nowX} x2={nowX} y1={6} y2={AXIS + 3} />
            <NowLabel x={nowX} width={width} text={timeText(now, speedFactor)} />
          </g>
        )}
      </svg>
    </div>
  );
}

interface StillProps
  extends Pick<Props, "events" | "proposed" | "times" | "speedFactor" | "onFrame" | "onAim"> {
  readonly start: number;
  readonly end: number;
  readonly inner: number;
}

/** All that stays where it is while one moves in time. */
const Still = memo((props: StillProps) => {
  const { events, proposed, times, speedFactor, start, end, inner, onFrame, onAim } = props;
  const x = (t: number) => xAt(t, start, end, inner);
  return (
    <>
      {ticks(start / speedFactor, end / speedFactor)
        .map((seconds) => ({ seconds, t: seconds * speedFactor }))
        .map(({ seconds, t }) => (
          <g key={t}>
            <line className="ribbon-tick" x1={x(t)} x2={x(t)} y1={14} y2={AXIS} />
            <text className="ribbon-axis number" x={x(t)} y={AXIS + 20} textAnchor="middle">
              {label(seconds)}
            </text>
          </g>
        ))}
      {(["left", "right"] as const).map((side) => (
        <Lane key={side} side={side} {...props} />
      ))}
      {proposed.map((p) => {
        const t = times[p.frame];
        return t === undefined ? null : (
          <EventTick
            key={`${p.event} ${p.side} ${p.frame}`}
            event={p.event}
            side={p.side}
            x={x(t)}
            lane={LANES[p.side]}
            open
          />
        );
      })}
      {events.map((e) => (
        <g
          key={`${e.event} ${e.side} ${e.frame}`}
          className="ribbon-event"
          onPointerDown={(press) => {
            press.stopPropagation();
            onFrame(e.frame);
          }}
          onPointerMove={(over) => {
            if (over.buttons !== 0) return;
            over.stopPropagation();
            onAim(e.frame);
          }}
        >
          <title>
            {eventWords(e.event, e.side)}, frame {e.frame}, {timeText(e.time, speedFactor)}
          </title>
          <EventTick event={e.event} side={e.side} x={x(e.time)} lane={LANES[e.side]} open={false} />
        </g>
      ))}
    </>
  );
});

function xAt(t: number, start: number, end: number, inner: number): number {
  return LEFT + (end > start ? ((t - start) / (end - start)) * inner : 0);
}

function label(seconds: number): string {
  return `${Number(seconds.toFixed(3))} s`;
}

function NowLabel({ x, width, text }: { x: number; width: number; text: string }) {
  const w = 16 + text.length * 7.6;
  const left = Math.max(2, Math.min(width - w - 2, x - w / 2));
  return (
    <g>
      <rect className="ribbon-now-box" x={left} y={AXIS + 3} width={w} height={21} rx={11} />
      <text className="ribbon-now-text number" x={left + w / 2} y={AXIS + 18} textAnchor="middle">
        {text}
      </text>
    </g>
  );
}

function Lane(props: StillProps & { side: Side }) {
  const { side, events, start, end, inner, speedFactor } = props;
  const y = LANES[side];
  const x = (t: number) => xAt(t, start, end, inner);
  return (
    <g>
      <text className={`ribbon-side ${side}`} x={10} y={y + 5}>
        {side}
      </text>
      <line className="ribbon-lane" x1={LEFT} x2={LEFT + inner} y1={y} y2={y} />
      {bands(events, side, end, speedFactor).map((b) => {
        const shape = b.kind === "recovery" ? "recovery" : b.openStart || b.openEnd ? "ice-open" : "ice";
        const from = x(b.from);
        return b.kind === "recovery" ? (
          <path
            key={`${b.kind} ${b.from}`}
            className={`ribbon-recovery ${side}`}
            d={`M ${from} ${y} Q ${(from + x(b.to)) / 2} ${y - 18} ${x(b.to)} ${y}`}
          />
        ) : (
          <rect
            key={`${b.kind} ${b.from}`}
            className={`ribbon-band ${side} ${shape}`}
            x={from}
            y={y - BAND / 2}
            width={Math.max(2, x(b.to) - from)}
            height={BAND}
            rx={5}
          />
        );
      })}
    </g>
  );
}
