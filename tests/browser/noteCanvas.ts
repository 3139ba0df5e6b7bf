/** What the canvas held each time the window said that it shows another frame. */
export interface Noted {
  readonly shown: number;
  /** 24 x 16 pixels, four a painted square. */
  readonly data: number[];
}

/** Runs in the page: notes the canvas at every change of the shown frame from now on. */
export function noteCanvas(): void {
  const all: Noted[] = [];
  const host = document.querySelector<HTMLElement>("[data-testid=picture]");
  const canvas = host?.querySelector("canvas");
  const small = document.createElement("canvas");
  small.width = 24;
  small.height = 16;
  const pen = small.getContext("2d", { willReadFrequently: true });
  if (!host || !canvas || !pen) throw new Error("there is no picture");
  const look = () => {
    const shown = Number(host.dataset.shownFrame);
    if (all.at(-1)?.shown === shown) return;
    const width = Math.min(canvas.width, (canvas.height * 16) / 9);
    const height = (width * 9) / 16;
    pen.drawImage(
      canvas,
      (canvas.width - width) / 2,
      (canvas.height - height) / 2,
      width,
      height,
      0,
      0,
      24,
      16,
    );
    all.push({ shown, data: Array.from(pen.getImageData(0, 0, 24, 16).data) });
  };
  new MutationObserver(look).observe(host, { attributes: true, attributeFilter: ["data-shown-frame"] });
  (window as unknown as { canvasNotes: Noted[] }).canvasNotes = all;
}

/** Runs in the page. */
export function noted(): Noted[] {
  return (window as unknown as { canvasNotes: Noted[] }).canvasNotes;
}
