import type { PicturePoint } from "../../src/ice/types.ts";

/** How the picture lies on the screen: screen = picture * scale + offset, both in CSS px of the stage. */
export interface View {
  readonly scale: number;
  readonly x: number;
  readonly y: number;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

const MOST_ZOOM = 32;

/** The whole picture, as large as fits, in the middle. (0, 0) is the centre of the first pixel, hence the half. */
export function fitView(picture: Size, stage: Size): View {
  const scale = Math.min(stage.width / picture.width, stage.height / picture.height);
  return {
    scale,
    x: (stage.width - picture.width * scale) / 2 + scale / 2,
    y: (stage.height - picture.height * scale) / 2 + scale / 2,
  };
}

export function toStage(view: View, p: PicturePoint): { x: number; y: number } {
  return { x: p.xPx * view.scale + view.x, y: p.yPx * view.scale + view.y };
}

export function toPicture(view: View, x: number, y: number): PicturePoint {
  return { xPx: (x - view.x) / view.scale, yPx: (y - view.y) / view.scale };
}

/** Zooms by `factor` and keeps the point under the pointer where it is. Never smaller than the whole picture. */
export function zoomAt(
  view: View,
  factor: number,
  { x, y }: { readonly x: number; readonly y: number },
  picture: Size,
  stage: Size,
): View {
  const fit = fitView(picture, stage);
  const scale = Math.max(fit.scale, Math.min(MOST_ZOOM, view.scale * factor));
  const kept = toPicture(view, x, y);
  return keepInside({ scale, x: x - kept.xPx * scale, y: y - kept.yPx * scale }, picture, stage);
}

export function panBy(view: View, dx: number, dy: number, picture: Size, stage: Size): View {
  return keepInside({ ...view, x: view.x + dx, y: view.y + dy }, picture, stage);
}

/** Brings a picture point to the middle of the stage at the given scale. */
export function centreOn(p: PicturePoint, scale: number, picture: Size, stage: Size): View {
  return keepInside(
    { scale, x: stage.width / 2 - p.xPx * scale, y: stage.height / 2 - p.yPx * scale },
    picture,
    stage,
  );
}

/** No empty border while the picture is larger than the stage; centred along an axis where it is smaller. */
function keepInside(view: View, picture: Size, stage: Size): View {
  const along = (offset: number, length: number, room: number) => {
    const half = view.scale / 2;
    const shown = length * view.scale;
    if (shown <= room) return (room - shown) / 2 + half;
    return Math.max(room - shown + half, Math.min(half, offset));
  };
  return {
    scale: view.scale,
    x: along(view.x, picture.width, stage.width),
    y: along(view.y, picture.height, stage.height),
  };
}
