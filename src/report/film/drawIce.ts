import type { PicturePoint } from "../../ice/types.ts";
import type { Side } from "../../study/types.ts";
import { bodyArea } from "./bodyArea.ts";
import { widthOf, write } from "./filmText.ts";
import type { DrawnLength } from "./iceMarks.ts";
import { type Area, PX_PER_METRE } from "./layout.ts";
import type { Pen } from "./Pen.ts";
import type { PanelFrame, View } from "./panel.ts";

const INK = "#14212b";
const WHITE = "#ffffff";
const GRID = "#0b5c78";
const FINE = "rgba(11, 92, 120, 0.5)";
/** Okabe and Ito (2008): sky blue for left, vermillion for right; told apart by open and filled first. */
const LEFT = "#0a6aa6";
const RIGHT = "#d55e00";

type At = readonly [x: number, y: number];

/** The metre grid, the blade trail and the measured lengths over a picture; the pen stands at the picture's corner. */
export function drawIce<P>(pen: Pen<P>, { grid, marks }: PanelFrame, view: View, area: Area): void {
  const place = (xPx: number, yPx: number): At => [
    (xPx + 0.5 - view.xPx) * view.scale,
    (yPx + 0.5 - view.yPx) * view.scale,
  ];
  const see = (p: PicturePoint) => place(p.xPx, p.yPx);
  pen.save();
  if (view.feet) besideSkater(pen, see(view.feet), area);
  for (const { points, strong } of grid) {
    path(
      pen,
      corners(points).map(([x, y]) => place(x, y)),
    );
    line(pen, strong ? GRID : FINE, strong ? 2 : 1);
  }
  const hidden = (p: PicturePoint) => view.feet !== null && overBody(see(p), see(view.feet));
  for (const { side, from, to } of marks.glides) {
    if (hidden(to)) continue;
    path(pen, [see(from), see(to)]);
    line(pen, WHITE, 6);
    line(pen, side === "left" ? LEFT : RIGHT, 3);
  }
  pen.restore();
  for (const { side, contact, ...at } of marks.trail)
    if (!hidden(at)) dot(pen, see(at), side, contact === "blade_off" ? 6.5 : 4.5);
  const feet = view.feet && see(view.feet);
  const measured = marks.lengths
    .map((m) => ({ ...m, ends: [see(m.blade), see(m.toward)] as const }))
    .filter(({ ends }) => !feet || !acrossBody(ends, feet));
  const words = lengthWords(pen, measured, feet?.[1] ?? 0, area);
  for (const { points, label } of grid) {
    if (!label) continue;
    // At the edge of the picture, where no skater stands.
    const inside = corners(points)
      .map(([x, y]) => place(x, y))
      .filter(([x, y]) => x > 6 && x < area.width - 70 && y > 60 && y < area.height - 56);
    const left = inside.reduce<At | null>((a, b) => (a === null || b[0] < a[0] ? b : a), null);
    if (!left || words.some((w) => Math.abs(w.y - left[1]) < 30 && left[0] + LABEL > w.middle - w.half))
      continue;
    if (feet && [0, LABEL].some((dx) => overBody([left[0] + dx, left[1]], feet))) continue;
    write(pen, label.text, [left[0], left[1] - 4], { size: 20, bold: true, colour: GRID, seam: WHITE });
  }
  for (const { what, ends } of measured) length(pen, ends, what);
  for (const limbs of marks.limbs) {
    path(pen, limbs.map(see));
    line(pen, WHITE, 8);
    line(pen, INK, 4);
  }
  for (const { text, middle, y, what } of words) {
    const [colour, seam] = what === "width" ? [INK, WHITE] : [WHITE, INK];
    write(pen, text, [middle, y], { size: WORDS, bold: true, colour, seam, align: "center" });
  }
}

const DOT = 8;
/** About how wide the words "15 m" are. */
const LABEL = 56;

/** What lies on the ice behind the skater is not drawn over the body. */
function besideSkater<P>(pen: Pen<P>, feet: At, area: Area): void {
  const { x, y, width, height } = bodyArea(feet, PX_PER_METRE);
  pen.beginPath();
  pen.rect(0, 0, area.width, area.height);
  pen.rect(x, y, width, height);
  pen.clip("evenodd");
}

function overBody([x, y]: At, feet: At): boolean {
  const b = bodyArea(feet, PX_PER_METRE);
  return x > b.x - DOT && x < b.x + b.width + DOT && y > b.y - DOT && y < b.y + b.height;
}

/** Lines so far behind the skater that they would cross more than the lower legs, metres as seen. */
const BEHIND = 0.4;

function acrossBody([a, b]: readonly [At, At], feet: At): boolean {
  const { x, y, width } = bodyArea(feet, PX_PER_METRE);
  const beside = Math.max(a[0], b[0]) < x || Math.min(a[0], b[0]) > x + width;
  const middle = (a[1] + b[1]) / 2;
  return !beside && middle > y && middle < feet[1] - BEHIND * PX_PER_METRE;
}

/** The width dark with light seams, the touchdown the other way round. */
function length<P>(pen: Pen<P>, ends: readonly [At, At], what: DrawnLength["what"]): void {
  path(pen, ends);
  line(pen, what === "width" ? WHITE : INK, 9);
  line(pen, what === "width" ? INK : WHITE, 4.5);
}

const WORDS = 24;
const ABOVE_BAR = 40;

/** Where the lengths' values stand: under the lines and below the skater's feet, the nearer line's the lower. */
function lengthWords<P>(
  pen: Pen<P>,
  measured: readonly (DrawnLength & { readonly ends: readonly [At, At] })[],
  feet: number,
  area: Area,
) {
  let free = feet + 46;
  const order = measured.slice().sort((a, b) => lowest(a.ends) - lowest(b.ends));
  const placed = order.map(({ what, text, ends }) => {
    const words = `${what} ${text}`;
    const half = widthOf(pen, words, { size: WORDS, bold: true }) / 2 + 8;
    const middle = Math.min(Math.max((ends[0][0] + ends[1][0]) / 2, half), area.width - half);
    const y = Math.max(lowest(ends) + 34, free);
    free = y + 30;
    return { what, text: words, half, middle, y };
  });
  // Above the scale bar, also where the skater has come to the picture's lower edge.
  const over = Math.max(0, free - 30 - (area.height - ABOVE_BAR));
  return placed.map((p) => ({ ...p, y: p.y - over }));
}

function lowest([a, b]: readonly [At, At]): number {
  return Math.max(a[1], b[1]);
}

function dot<P>(pen: Pen<P>, [x, y]: At, side: Side, radius: number): void {
  pen.beginPath();
  pen.arc(x, y, radius, 0, 2 * Math.PI);
  pen.fillStyle = side === "left" ? WHITE : RIGHT;
  pen.fill();
  line(pen, side === "left" ? LEFT : WHITE, side === "left" ? 3 : 1.5);
}

function corners(points: readonly number[]): At[] {
  return Array.from({ length: points.length >> 1 }, (_, k) => [points[2 * k]!, points[2 * k + 1]!]);
}

function path<P>(pen: Pen<P>, points: readonly At[]): void {
  pen.beginPath();
  for (const [k, [x, y]] of points.entries()) {
    if (k === 0) pen.moveTo(x, y);
    else pen.lineTo(x, y);
  }
}

function line<P>(pen: Pen<P>, colour: string, width: number): void {
  pen.strokeStyle = colour;
  pen.lineWidth = width;
  pen.lineCap = "round";
  pen.stroke();
}
