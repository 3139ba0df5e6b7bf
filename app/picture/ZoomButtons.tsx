import type { Zoom } from "./useZoom.ts";

/** The picture's zoom for the pointer. `skater`: it is known where she is. */
export function ZoomButtons({ zoom, skater }: { zoom: Zoom; skater: boolean }) {
  return (
    <fieldset className="zoom" aria-label="Zoom">
      <button type="button" onClick={() => zoom.zoomBy(1.5)} aria-label="Zoom in">
        +
      </button>
      <button
        type="button"
        onClick={() => zoom.zoomBy(1 / 1.5)}
        aria-label="Zoom out"
        disabled={!zoom.zoomed}
      >
        −
      </button>
      <button type="button" onClick={zoom.toSkater} disabled={!skater} title="Zoom to the skater (Z)">
        Skater
      </button>
      <button type="button" onClick={zoom.fit} disabled={!zoom.zoomed} title="Whole picture (0)">
        Fit
      </button>
    </fieldset>
  );
}
