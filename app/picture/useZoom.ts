import { type RefObject, useEffect, useMemo, useState } from "react";
import type { PicturePoint } from "../../src/ice/types.ts";
import { centreOn, fitView, type Size, type View, zoomAt } from "./view.ts";

/** How many times larger than the whole picture the skater is shown. */
const SKATER_ZOOM = 4;

export interface Zoom {
  readonly view: View;
  /** False while the whole picture is shown. */
  readonly zoomed: boolean;
  setView(view: View | null): void;
  /** Zooms about the middle of the stage. */
  zoomBy(factor: number): void;
  /** The whole picture. */
  fit(): void;
  toSkater(): void;
}

/** How the picture lies on the stage, turned by the wheel too. `focus`: where the skater is, as far as known. */
export function useZoom(
  picture: Size,
  stage: Size,
  focus: PicturePoint | null,
  host: RefObject<HTMLDivElement | null>,
): Zoom {
  const [zoomed, setZoomed] = useState<View | null>(null);
  const fit = useMemo(() => fitView(picture, stage), [picture, stage]);

  // biome-ignore lint/correctness/useExhaustiveDependencies: a clip of another size, or another window, starts whole again
  useEffect(() => setZoomed(null), [picture, stage]);

  const { zoomBy, zoomAbout } = useMemo(() => {
    const zoomAbout = (factor: number, x: number, y: number) =>
      setZoomed((now) => {
        const next = zoomAt(now ?? fit, factor, { x, y }, picture, stage);
        return next.scale <= fit.scale ? null : next;
      });
    return { zoomAbout, zoomBy: (factor: number) => zoomAbout(factor, stage.width / 2, stage.height / 2) };
  }, [fit, picture, stage]);

  useEffect(() => {
    const element = host.current;
    if (!element) return;
    const onWheel = (e: WheelEvent) => {
      e.preventDefault();
      const box = element.getBoundingClientRect();
      const factor = Math.exp(-e.deltaY * (e.deltaMode === 1 ? 0.05 : 0.0015));
      zoomAbout(factor, e.clientX - box.left, e.clientY - box.top);
    };
    element.addEventListener("wheel", onWheel, { passive: false });
    return () => element.removeEventListener("wheel", onWheel);
  }, [zoomAbout, host]);

  return {
    view: zoomed ?? fit,
    zoomed: zoomed !== null,
    setView: setZoomed,
    zoomBy,
    fit: () => setZoomed(null),
    toSkater() {
      if (focus) setZoomed(centreOn(focus, fit.scale * SKATER_ZOOM, picture, stage));
    },
  };
}
