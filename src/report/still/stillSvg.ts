import { iceGrid } from "../../ice/iceGrid.ts";
import type { PicturePoint } from "../../ice/types.ts";
import { formatReading } from "../../uncertainty/format.ts";
import { html, Markup } from "../page/markup.ts";
import type { Box, MeasuredLine, StillPlan } from "./planStill.ts";

/** A frame of the clip, or the part of it that `at` says, by address or as data. */
export interface StillPicture {
  readonly href: string;
  readonly at: Box;
}

const INK = "#14212b";
const PAPER = "#ffffff";

/**
 * A still as SVG: the frame, the metre grid of the ice in perspective, the marks, and what was measured drawn to
 * scale with its value. Light lines have dark seams and dark ones light seams, so that it is read in black and white.
 *
 * @param picture null = a drawing without the frame
 */
export function stillSvg(plan: StillPlan, picture: StillPicture | null, label: string): Markup {
  const { box } = plan;
  const unit = box.width / 100;
  const number = (v: number) => Number(v.toFixed(1));
  const points = (ps: readonly number[]) =>
    ps.flatMap((_, k) => (k % 2 === 0 ? [`${number(ps[k]!)},${number(ps[k + 1]!)}`] : [])).join(" ");
  const grid = iceGrid(plan.scale, plan.frame);
  const inside = (p: PicturePoint) =>
    p.xPx > box.x + unit &&
    p.xPx < box.x + box.width - 8 * unit &&
    p.yPx > box.y + 3 * unit &&
    p.yPx < box.y + box.height - unit;
  const texts: Markup[] = [];
  const text = (p: PicturePoint, words: string, size: number, anchor: "start" | "end" | "middle") => {
    texts.push(
      html`<text x="${number(p.xPx)}" y="${number(p.yPx)}" font-size="${number(size)}" text-anchor="${anchor}" font-weight="600" fill="${INK}" stroke="${PAPER}" stroke-width="${number(size / 4)}" stroke-linejoin="round" paint-order="stroke">${words}</text>`,
    );
  };
  for (const { label: metres, points: at } of grid) {
    // At the edge of the grid, where no skater stands.
    const ends = at.flatMap((_, k) => (k % 2 === 0 ? [{ xPx: at[k]!, yPx: at[k + 1]! }] : [])).filter(inside);
    const left = ends.reduce<PicturePoint | null>((a, b) => (a === null || b.xPx < a.xPx ? b : a), null);
    if (metres && left) text({ ...left, yPx: left.yPx - 0.6 * unit }, metres.text, 2.8 * unit, "start");
  }
  const measured = (line: MeasuredLine, words: string, below: boolean) => {
    const [x1, y1, x2, y2] = [line.blade.xPx, line.blade.yPx, line.toward.xPx, line.toward.yPx].map(number);
    const middle = { xPx: (x1! + x2!) / 2, yPx: (y1! + y2!) / 2 + (below ? 5.2 : -2.8) * unit };
    const half = 0.3 * 4 * unit * words.length;
    const kept = Math.min(Math.max(middle.xPx, box.x + half), box.x + box.width - half);
    text({ ...middle, xPx: kept }, words, 4 * unit, "middle");
    const at = new Markup(`x1="${x1}" y1="${y1}" x2="${x2}" y2="${y2}"`);
    return html`<line ${at} stroke="${PAPER}" stroke-width="${number(1.5 * unit)}"/><line ${at} stroke="${INK}" stroke-width="${number(0.8 * unit)}"${new Markup(below ? ` stroke-dasharray="${number(1.6 * unit)} ${number(0.9 * unit)}"` : "")}/><circle cx="${x1}" cy="${y1}" r="${number(0.9 * unit)}" fill="${PAPER}" stroke="${INK}" stroke-width="${number(0.4 * unit)}"/>`;
  };
  const metres = (line: MeasuredLine) => formatReading({ value: line.value, u95: line.u95 }, "m");
  const lines = [
    plan.track &&
      html`<line x1="${number(plan.track[0].xPx)}" y1="${number(plan.track[0].yPx)}" x2="${number(plan.track[1].xPx)}" y2="${number(plan.track[1].yPx)}" stroke="${PAPER}" stroke-width="${number(0.9 * unit)}" stroke-opacity="0.8"/><line x1="${number(plan.track[0].xPx)}" y1="${number(plan.track[0].yPx)}" x2="${number(plan.track[1].xPx)}" y2="${number(plan.track[1].yPx)}" stroke="${INK}" stroke-width="${number(0.3 * unit)}" stroke-dasharray="${number(0.6 * unit)} ${number(0.8 * unit)}"/>`,
    plan.width && measured(plan.width, `width ${metres(plan.width)}`, false),
    plan.recovery && measured(plan.recovery, `touchdown ${metres(plan.recovery)}`, true),
  ];
  const dots = plan.marks.map(
    (m) =>
      html`<circle cx="${number(m.xPx)}" cy="${number(m.yPx)}" r="${number(0.7 * unit)}" fill="${m.side === "left" ? "none" : "#d55e00"}" stroke="${m.side === "left" ? "#0a6aa6" : PAPER}" stroke-width="${number(0.35 * unit)}"/>`,
  );
  return html`<svg xmlns="http://www.w3.org/2000/svg" viewBox="${box.x} ${box.y} ${box.width} ${box.height}" width="640" height="${Math.round((640 * box.height) / box.width)}" role="img" aria-label="${label}" font-family="system-ui, 'DejaVu Sans', sans-serif"><title>${label}</title><rect x="${box.x}" y="${box.y}" width="${box.width}" height="${box.height}" fill="#e9f1f5"/>${
    picture &&
    html`<image href="${picture.href}" x="${picture.at.x}" y="${picture.at.y}" width="${picture.at.width}" height="${picture.at.height}" preserveAspectRatio="none"/>`
  }${grid.map(
    (g) =>
      html`<polyline points="${points(g.points)}" fill="none" stroke="#0b6e8f" stroke-opacity="${g.strong ? 0.8 : 0.45}" stroke-width="${number((g.strong ? 0.35 : 0.2) * unit)}"/>`,
  )}${lines}${dots}${texts}</svg>`;
}

/** The same still in words. */
export function stillLabel(plan: StillPlan, who: string): string {
  const { stride, frame } = plan;
  const said = [
    plan.width && `stride width ${formatReading(plan.width, "m")}`,
    plan.recovery && `next touchdown to track midline ${formatReading(plan.recovery, "m")}`,
  ].filter((t) => t !== null);
  return `${who}: frame ${frame}, ${stride.side} blade-off of stride ${stride.stride}; ${said.join(", ")}, drawn to scale on the ice.`;
}
