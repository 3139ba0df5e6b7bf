/** A key held longer than this goes on stepping. */
const HOLD_MS = 300;
/** Quickest steps while held: 40 frames a second, about what an eye can follow and a hand can stop. */
const PACE_MS = 25;

export interface HeldStep {
  /** Steps once, and goes on stepping until `release` when the key is held. */
  press(by: number): void;
  release(): void;
  readonly held: boolean;
}

/**
 * Stepping with a key held down, at the window's own pace instead of the system's key repeat: the next step waits
 * until the frame before has been painted, so that none is passed over and letting go stops at the frame one sees.
 *
 * @param arrived true when the frame stepped to is on the canvas, or never will be
 */
export function createHeldStep(step: (by: number) => void, arrived: () => boolean): HeldStep {
  let by = 0;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let tick = 0;
  let due = 0;
  /** The frame has been painted by the time the next tick comes. */
  let painted = false;

  function onTick(now: number): void {
    tick = requestAnimationFrame(onTick);
    if (!painted || now < due) {
      // What is on the canvas before the browser paints is painted now.
      painted = arrived();
      return;
    }
    due = Math.max(due + PACE_MS, now);
    painted = false;
    step(by);
    // A frame that was at hand is drawn before this.
    queueMicrotask(() => {
      painted = arrived();
    });
  }

  function release(): void {
    clearTimeout(timer);
    cancelAnimationFrame(tick);
    by = 0;
  }

  return {
    press(next) {
      release();
      by = next;
      step(by);
      timer = setTimeout(() => {
        // After a busy spell the key-up of a mere tap may be waiting behind this: it has its turn first.
        timer = setTimeout(() => {
          due = 0;
          painted = false;
          tick = requestAnimationFrame(onTick);
        }, 0);
      }, HOLD_MS);
    },
    release,
    get held() {
      return by !== 0;
    },
  };
}
