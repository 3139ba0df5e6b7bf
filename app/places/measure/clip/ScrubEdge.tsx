import { type PointerEvent, useRef } from "react";
import { frameAt } from "../core/proposals.ts";

interface Props {
  /** Clip times of the frames that are ready, seconds. */
  readonly times: readonly number[];
  readonly frame: number;
  /** First and last frame of the clip or of its part, as far as known: what the edge spans. */
  readonly first: number;
  readonly last: number;
  onFrame(frame: number): void;
  /** The frame under the pointer, to which a press would go; null = none. */
  onAim(frame: number | null): void;
}

/** The lower edge of the picture, as long as the clip: dragged, it moves in time. What it shows stands on the ribbon in words. */
export function ScrubEdge({ times, frame, first, last, onFrame, onAim }: Props) {
  const host = useRef<HTMLDivElement>(null);
  const dragging = useRef(false);
  const start = times[first] ?? 0;
  const end = times[Math.min(last, times.length - 1)] ?? start;
  const now = times[frame];
  const under = (e: PointerEvent): number | null => {
    const box = host.current?.getBoundingClientRect();
    if (!box || end <= start) return null;
    const share = Math.max(0, Math.min(1, (e.clientX - box.left) / box.width));
    return frameAt(times, start + share * (end - start));
  };
  const moveTo = (e: PointerEvent) => {
    const at = under(e);
    if (at !== null) onFrame(at);
  };
  const letGo = () => {
    dragging.current = false;
  };
  return (
    <div
      className="scrub-edge"
      ref={host}
      data-testid="scrub-edge"
      aria-hidden="true"
      title="Drag to move in time"
      onPointerDown={(e) => {
        if (e.button !== 0) return;
        e.currentTarget.setPointerCapture(e.pointerId);
        dragging.current = true;
        moveTo(e);
      }}
      onPointerMove={(e) => (dragging.current ? moveTo(e) : onAim(under(e)))}
      onPointerLeave={() => onAim(null)}
      onPointerUp={letGo}
      onPointerCancel={letGo}
    >
      {now !== undefined && end > start && (
        <div
          style={{ width: `${(100 * Math.max(0, Math.min(1, (now - start) / (end - start)))).toFixed(2)}%` }}
        />
      )}
    </div>
  );
}
