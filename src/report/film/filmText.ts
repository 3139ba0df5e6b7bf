import type { Pen } from "./Pen.ts";

/** What the font that comes along is called where it is loaded. */
export const FILM_FONT = "Film Sans";
/** Else whatever has the letters of a name. */
const FAMILY = `"${FILM_FONT}", system-ui, "DejaVu Sans", sans-serif`;

export interface TextStyle {
  readonly size: number;
  readonly bold?: boolean;
  readonly colour: string;
  /** Colour of an outline that sets the text off from a picture. */
  readonly seam?: string;
  readonly align?: "left" | "center" | "right";
}

/** Writes one line, its baseline at `y`; made smaller, to two thirds at least, and then cut, to be no wider than `most`. */
export function write<P>(
  pen: Pen<P>,
  text: string,
  [x, y]: readonly [x: number, y: number],
  style: TextStyle,
  most = 1e4,
): void {
  const font = (size: number) => `${style.bold ? "bold " : ""}${size}px ${FAMILY}`;
  pen.font = font(style.size);
  pen.textAlign = style.align ?? "left";
  pen.textBaseline = "alphabetic";
  const wide = pen.measureText(text).width;
  if (wide > most) pen.font = font(Math.max((2 / 3) * style.size, (style.size * most) / wide));
  const shown = fitting(pen, text, most);
  if (style.seam) {
    pen.strokeStyle = style.seam;
    pen.lineWidth = style.size / 4;
    pen.lineJoin = "round";
    pen.strokeText(shown, x, y);
  }
  pen.fillStyle = style.colour;
  pen.fillText(shown, x, y);
}

/** How wide a line would be. */
export function widthOf<P>(
  pen: Pen<P>,
  text: string,
  { size, bold }: Pick<TextStyle, "size" | "bold">,
): number {
  pen.font = `${bold ? "bold " : ""}${size}px ${FAMILY}`;
  return pen.measureText(text).width;
}

/** Text broken into lines no wider than `most`; the last is cut where there are too many. */
export function wrapped<P>(pen: Pen<P>, text: string, most: number, lines: number, size: number): string[] {
  pen.font = `${size}px ${FAMILY}`;
  const rows: string[] = [""];
  for (const word of text.split(" ")) {
    const longer = rows[rows.length - 1] === "" ? word : `${rows[rows.length - 1]} ${word}`;
    if (pen.measureText(longer).width <= most || rows[rows.length - 1] === "") rows[rows.length - 1] = longer;
    else rows.push(word);
  }
  if (rows.length <= lines) return rows;
  return [...rows.slice(0, lines - 1), fitting(pen, rows.slice(lines - 1).join(" "), most)];
}

function fitting<P>(pen: Pen<P>, text: string, most: number): string {
  let shown = text;
  while (shown.length > 1 && pen.measureText(shown).width > most) shown = `${shown.slice(0, -2)}…`;
  return shown;
}
