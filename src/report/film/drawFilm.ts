import { drawIce } from "./drawIce.ts";
import { widthOf, wrapped, write } from "./filmText.ts";
import { type Area, FILM, numberColumns, PX_PER_METRE, pictureAreas, ROW } from "./layout.ts";
import type { Pen } from "./Pen.ts";
import type { NumberRow, PanelFrame, View } from "./panel.ts";
import type { FilmFrame } from "./planFilm.ts";

/** What there is of the picture of a clip's frame. */
export interface FilmPicture<P> {
  /** null = none. */
  readonly image: P | null;
  /** Exactly the frame, not another that stands in until it is there. */
  readonly exact: boolean;
  /** What has to be said about it. */
  readonly note: string | null;
}

/** Said over a frame that the decoder may have put together from others. */
export const DAMAGED = "the clip is damaged here: this picture may be put together from others";

const NIGHT = "#0d1820";
const QUIET = "#a9bac6";
const WHITE = "#ffffff";
const INK = "#14212b";
const NOTICE = "#ffd166";

/** Draws one frame of a film, `FILM.width` x `FILM.height` px, two panels or one. */
export function drawFilm<P>(pen: Pen<P>, film: FilmFrame, pictures: readonly FilmPicture<P>[]): void {
  pen.fillStyle = NIGHT;
  pen.fillRect(0, 0, FILM.width, FILM.height);
  const areas = pictureAreas(film.panels.length);
  film.panels.forEach((panel, c) => {
    const area = areas[c]!;
    head(pen, panel, area);
    picture(pen, panel, area, pictures[c]!);
    numbers(pen, panel, area, numberColumns(film.panels.length));
  });
  write(
    pen,
    film.foot,
    [FILM.width / 2, FILM.height - 13],
    { size: 22, colour: QUIET, align: "center" },
    1240,
  );
}

function head<P>(pen: Pen<P>, { title, technique }: PanelFrame, { x, width }: Area): void {
  const room = width - 32;
  write(pen, title, [x + 16, 35], { size: 30, bold: true, colour: WHITE }, 0.45 * room);
  write(pen, technique, [x + width - 16, 35], { size: 25, colour: WHITE, align: "right" }, 0.53 * room);
}

function picture<P>(pen: Pen<P>, panel: PanelFrame, area: Area, shown: FilmPicture<P>): void {
  const view = panel.view ?? whole(panel.picture, area);
  pen.save();
  pen.beginPath();
  pen.rect(area.x, area.y, area.width, area.height);
  pen.clip();
  pen.fillStyle = "#22313c";
  pen.fillRect(area.x, area.y, area.width, area.height);
  pen.save();
  pen.translate(area.x, area.y);
  if (shown.image !== null) {
    pen.imageSmoothingEnabled = true;
    const { width, height } = panel.picture;
    const { scale } = view;
    // Only a picture made much smaller needs more than its neighbours' mean, which takes its time.
    pen.imageSmoothingQuality = scale < 0.6 ? "medium" : "low";
    pen.drawImage(shown.image, -view.xPx * scale, -view.yPx * scale, width * scale, height * scale);
  }
  // What was measured belongs to the exact frame and to no other.
  if (shown.exact) drawIce(pen, panel, view, area);
  pen.restore();
  if (panel.view) scaleBar(pen, area);
  notices(pen, panel, area, shown);
  pen.restore();
}

/** The whole picture, as large as fits. */
function whole(picture: PanelFrame["picture"], area: Area): View {
  const scale = Math.min(area.width / picture.width, area.height / picture.height);
  return {
    xPx: (picture.width - area.width / scale) / 2,
    yPx: (picture.height - area.height / scale) / 2,
    scale,
    feet: null,
  };
}

/** A metre at the skater. */
function scaleBar<P>(pen: Pen<P>, area: Area): void {
  const [x, y] = [area.x + 18, area.y + area.height - 18];
  for (const [colour, width] of [
    [WHITE, 9],
    [INK, 4],
  ] as const) {
    pen.strokeStyle = colour;
    pen.lineWidth = width;
    pen.lineCap = "butt";
    pen.beginPath();
    pen.moveTo(x, y);
    pen.lineTo(x + PX_PER_METRE, y);
    pen.stroke();
  }
  write(pen, "1 m", [x + PX_PER_METRE + 8, y + 6], { size: 20, bold: true, colour: INK, seam: WHITE });
}

function notices<P>(pen: Pen<P>, panel: PanelFrame, area: Area, shown: FilmPicture<P>): void {
  const said = [panel.edge, panel.unscaled, shown.note].filter((s) => s !== null);
  const lines = said.flatMap((s) => wrapped(pen, s, area.width - 40, 2, 22));
  if (lines.length === 0) return;
  pen.fillStyle = "rgba(13, 24, 32, 0.86)";
  pen.fillRect(area.x, area.y, area.width, 12 + 28 * lines.length);
  lines.forEach((line, k) => {
    write(pen, line, [area.x + area.width / 2, area.y + 29 + 28 * k], {
      size: 22,
      colour: NOTICE,
      align: "center",
    });
  });
}

/** Names left, values right; why there is none in small print, why there are none at all across the room of all. */
function numbers<P>(pen: Pen<P>, { rows, refused }: PanelFrame, area: Area, columns: number): void {
  if (refused !== null) {
    const lines = wrapped(pen, `No numbers. ${refused}.`, area.width - 32, columns === 1 ? 5 : 3, 23);
    lines.forEach((line, k) => {
      write(pen, line, [area.x + 16, area.y + area.height + 32 + 31 * k], { size: 23, colour: NOTICE });
    });
    return;
  }
  const down = Math.ceil(rows.length / columns);
  const wide = area.width / columns;
  rows.forEach((row, k) => {
    const [left, right] = [
      area.x + wide * Math.floor(k / down) + 16,
      area.x + wide * Math.floor(k / down + 1) - 16,
    ];
    number(pen, row, left, right, area.y + area.height + 36 + ROW * (k % down));
  });
}

function number<P>(
  pen: Pen<P>,
  { name, of, text, had }: NumberRow,
  left: number,
  right: number,
  y: number,
): void {
  const room = right - left;
  const named = { size: of ? 22 : 24, colour: had ? WHITE : QUIET };
  write(pen, name, [left, of ? y - 9 : y], named, 0.56 * room);
  if (of) write(pen, of, [left, y + 10], { size: 19, colour: QUIET }, 0.56 * room);
  const free = room - Math.min(widthOf(pen, name, named), 0.56 * room) - 16;
  if (had) {
    write(pen, text, [right, y], { size: 26, bold: true, colour: WHITE, align: "right" }, free);
    return;
  }
  const lines = wrapped(pen, text, free, 2, 17);
  lines.forEach((line, k) => {
    const at = y - 2 + 17 * (k - (lines.length - 1) / 2);
    write(pen, line, [right, at], { size: 17, colour: QUIET, align: "right" }, free);
  });
}
