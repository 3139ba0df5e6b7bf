import type { Zoom } from "./useZoom.ts";

/** The picture's zoom for the pointer. `known`: it is known where the skater is. */
export function ZoomButtons({ zoom, known }: { zoom: Zoom; known: boolean }) {
  return (
    <fieldset className="zoom" aria-label="Zoom">
      <span className="quiet number">{pxWords(zoom.view.scale)}</span>
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
      <button
        type="button"
        onClick={zoom.follow}
        disabled={!known}
        aria-pressed={zoom.following}
        title="The view follows the skater (Z)"
      >
        Follow
      </button>
      <button type="button" onClick={zoom.fit} disabled={!zoom.zoomed} title="Whole picture (0)">
        Fit
      </button>
    </fieldset>
  );
}

/** "3.4 x": screen px a picture px. */
function pxWords(scale: number): string {
  return `${scale.toFixed(1)} x`;
}
