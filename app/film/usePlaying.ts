import { useEffect, useRef, useState } from "react";

/**
 * Plays by moving on as time goes by; waits while the picture is not there, so that none is skipped unseen.
 *
 * @param perSecond output frames a second
 * @param move moves on by so many output frames; false at the end
 */
export function usePlaying(
  perSecond: number,
  exact: { readonly current: boolean },
  move: (by: number) => boolean,
) {
  const [playing, setPlaying] = useState(false);
  const moving = useRef(move);
  moving.current = move;
  useEffect(() => {
    if (!playing) return;
    let last = performance.now();
    let carried = 0;
    let asked = 0;
    const tick = (now: number) => {
      if (exact.current) carried += ((now - last) / 1000) * perSecond;
      last = now;
      const by = Math.floor(carried);
      carried -= by;
      if (by > 0 && !moving.current(by)) setPlaying(false);
      else asked = requestAnimationFrame(tick);
    };
    asked = requestAnimationFrame(tick);
    return () => cancelAnimationFrame(asked);
  }, [playing, perSecond, exact]);
  return [playing, setPlaying] as const;
}
