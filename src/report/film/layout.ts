/** Where everything lies in a film, px. Even sizes: phones play 4:2:0. */
export const FILM = { width: 1280, height: 720 } as const;

/** Output px a metre at the skater, in every clip with a usable scale. */
export const PX_PER_METRE = 150;

/** Above a picture: who and what. Under all: what it is lined up on. */
export const HEAD = 50;
export const FOOT = 38;
/** Below a picture: the numbers, one under the other, or in two columns where there is one clip. */
export const ROW = 46;
const ROWS = 4;
const ROOM = 8;
const GAP = 4;

export interface Area {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export function numberColumns(clips: number): number {
  return clips === 1 ? 2 : 1;
}

/** The picture of each clip, side by side. */
export function pictureAreas(clips: number): Area[] {
  const width = (FILM.width - GAP * (clips - 1)) / clips;
  const numbers = ROOM + (ROW * ROWS) / numberColumns(clips);
  return Array.from({ length: clips }, (_, c) => ({
    x: c * (width + GAP),
    y: HEAD,
    width,
    height: FILM.height - HEAD - numbers - FOOT,
  }));
}
