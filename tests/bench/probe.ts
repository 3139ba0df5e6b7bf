/** Runs in the page, before the app: watches presses, the picture's canvas and the bitmaps kept. */

export interface Answer {
  readonly frame: number;
  /** From the press to the canvas holding that frame, read back, ms. */
  readonly ms: number;
  readonly painted: number[];
  /** The same to that frame in all its pixels. */
  readonly wholeMs: number;
  readonly paintedWhole: number[];
}

export interface Probe {
  /** The next press of a key or on the ribbon should bring this frame. */
  expect(frame: number): void;
  /** The answer, once there; null before. */
  answer(): Answer | null;
  /** Notes what the canvas holds at every painted picture from now on. */
  watch(): void;
  /** What was noted: every frame the canvas came to hold, when, and by which painting of the window it was to be seen. */
  watched(): { readonly at: number; readonly frame: number; readonly painting: number }[];
  /** Milliseconds to the first frame on the canvas: from a file being chosen, and from it being copied into the study. */
  firstFrame(): { readonly chosen: number; readonly copied: number };
  /** Bitmaps handed to the window and not closed. */
  bitmaps(): { readonly count: number; readonly bytes: number; readonly mostBytes: number };
}

export function installProbe(box: {
  x: number;
  y: number;
  width: number;
  height: number;
  of: { width: number; height: number };
}) {
  let wanted: { frame: number; pressed: number | null } | null = null;
  let answer: Answer | null = null;
  let first: { readonly ms: number; readonly painted: number[] } | null = null;
  const seen: { at: number; frame: number; painting: number }[] = [];
  let watching = false;
  let painting = 0;
  let stamp = 0;
  /** Within the callbacks before a painting: what changes now is seen in this one, else in the next. */
  let before = false;
  const open = new Set<ImageBitmap>();
  let bytes = 0;
  let mostBytes = 0;

  const close = ImageBitmap.prototype.close;
  ImageBitmap.prototype.close = function (this: ImageBitmap) {
    if (open.delete(this)) bytes -= this.width * this.height * 4;
    close.call(this);
  };
  const NativeWorker = window.Worker;
  window.Worker = class extends NativeWorker {
    constructor(url: string | URL, options?: WorkerOptions) {
      super(url, options);
      this.addEventListener("message", ({ data }) => {
        before = false;
        const found = data?.bitmap;
        if (!(found instanceof ImageBitmap)) return;
        open.add(found);
        bytes += found.width * found.height * 4;
        mostBytes = Math.max(mostBytes, bytes);
      });
    }
  };

  for (const press of ["keydown", "pointerdown"])
    window.addEventListener(
      press,
      (e) => {
        before = false;
        if (wanted && wanted.pressed === null) wanted.pressed = e.timeStamp;
      },
      { capture: true },
    );

  const host = () => document.querySelector<HTMLElement>("[data-testid=picture]");

  const nativeFrame = window.requestAnimationFrame.bind(window);
  window.requestAnimationFrame = (callback) =>
    nativeFrame((now) => {
      if (now !== stamp) painting += 1;
      stamp = now;
      before = true;
      callback(now);
    });
  const tick = () => void window.requestAnimationFrame(tick);
  tick();

  function note(): void {
    const frame = Number(host()?.dataset.shownFrame);
    if (!watching || seen.at(-1)?.frame === frame) return;
    seen.push({ at: performance.now(), frame, painting: before ? painting : painting + 1 });
  }

  let chosen = Number.NaN;
  let firstFrame = Number.NaN;

  /** When the answer came that the file is in the study, ms; NaN before. */
  function copied(): number {
    const files = performance.getEntriesByType("resource") as PerformanceResourceTiming[];
    return files.find((f) => f.name.includes("/api/clips?name="))?.responseEnd ?? Number.NaN;
  }

  window.addEventListener(
    "change",
    ({ target }) => {
      if (target instanceof HTMLInputElement && target.type === "file") chosen = performance.now();
    },
    { capture: true },
  );

  function look(): void {
    note();
    if (Number.isNaN(firstFrame) && host()?.dataset.shownFrame !== undefined) firstFrame = performance.now();
    if (!wanted || wanted.pressed === null) return;
    const data = host()?.dataset;
    if (data?.shownFrame !== String(wanted.frame) || data?.wantedFrame !== data?.shownFrame) return;
    const whole = data.wholeFrame === data.shownFrame;
    if (first && !whole) return;
    const painted = readBack();
    const now = { ms: performance.now() - wanted.pressed, painted };
    first ??= now;
    if (!whole) return;
    answer = { frame: wanted.frame, ...first, wholeMs: now.ms, paintedWhole: now.painted };
    wanted = null;
  }

  /** The painted squares as grey levels, 10 x 10 px a square. Reading forces the drawing to have happened. */
  function readBack(): number[] {
    const canvas = host()?.querySelector("canvas");
    if (!canvas) return [];
    const scale = Math.min(canvas.width / box.of.width, canvas.height / box.of.height);
    const left = (canvas.width - box.of.width * scale) / 2;
    const top = (canvas.height - box.of.height * scale) / 2;
    const small = document.createElement("canvas");
    small.width = 60;
    small.height = 40;
    const pen = small.getContext("2d", { willReadFrequently: true });
    if (!pen) return [];
    const [x, y, w, h] = [box.x, box.y, box.width, box.height].map((v) => v * scale) as [
      number,
      number,
      number,
      number,
    ];
    pen.drawImage(canvas, left + x, top + y, w, h, 0, 0, 60, 40);
    return Array.from(pen.getImageData(0, 0, 60, 40).data);
  }

  document.addEventListener("DOMContentLoaded", () => {
    new MutationObserver(look).observe(document.documentElement, {
      subtree: true,
      childList: true,
      attributes: true,
      attributeFilter: ["data-shown-frame", "data-wanted-frame", "data-whole-frame"],
    });
  });

  const probe: Probe = {
    expect(frame) {
      answer = first = null;
      wanted = { frame, pressed: null };
    },
    answer: () => answer,
    watch() {
      seen.length = 0;
      watching = true;
    },
    watched() {
      watching = false;
      return seen;
    },
    firstFrame: () => ({ chosen: firstFrame - chosen, copied: firstFrame - copied() }),
    bitmaps: () => ({ count: open.size, bytes, mostBytes }),
  };
  (window as unknown as { probe: Probe }).probe = probe;
}
