import type { Suggestions } from "./suggestTrial.ts";

const places = (value: number, digits: number) => Math.round(value * 10 ** digits) / 10 ** digits;

/** `blademark.suggest`, as in docs/contracts.md: pixels to a tenth, standard uncertainties to a tenth of a frame or pixel. */
export function suggestJson(trial: string, { model, taught, events, points, refused }: Suggestions) {
  return {
    format: "blademark.suggest",
    version: 1,
    trial,
    model,
    taught,
    events: events.map(({ event, side, frame, sdFrames }) => ({
      event,
      side,
      frame,
      sd_frames: places(sdFrames, 1),
    })),
    points: points.map(({ frame, point, side, xPx, yPx, uPx, from, templates }) => ({
      frame,
      point,
      side,
      x_px: places(xPx, 1),
      y_px: places(yPx, 1),
      u_px: places(uPx, 1),
      from,
      templates,
    })),
    refused,
  };
}

/** What the command prints, and the window is sent. */
export function suggestText(trial: string, found: Suggestions): string {
  return JSON.stringify(suggestJson(trial, found), null, 2);
}
