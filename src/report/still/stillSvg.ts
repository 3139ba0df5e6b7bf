import { iceGrid } from "../../ice/camera/iceGrid.ts";
import type { PicturePoint } from "../../ice/types.ts";
import { formatReading } from "../../uncertainty/format.ts";
import type { Area } from "../film/layout.ts";
import { html, Markup } from "../page/markup.ts";
import type { ArmLine } from "./armLine.ts";
import type { MeasuredLine, RecoveryLine, WidthLine } from "./measuredLines.ts";
import { outsideArea } from "./outsideArea.ts";
import type { Box, StillPlan } from "./planStill.ts";

/** A frame of the clip, or the part of it that `at` says, by address or as data. */
export interface StillPicture {
  readonly href: string;
  readonly at: Box;
}

const INK = "#14212b";
const PAPER = "#ffffff";
/** Of the unit; letters of values and of the grid. */
const VALUE = 5.6;
const GRID = 4;
/** Under the caption of a still that stands alone. */
const MARKS_KEY = "circles: points marked, such as blade ends and hips; open left, filled right";
/** Mean width of a bold letter, of its height. */
const LETTER = 0.68;

/**
 * A still as SVG: the frame, the metre grid of the ice in perspective, the marks, and what was measured drawn to
 * scale with its value. Light lines have dark seams and dark ones light seams, so that it is read in black and white.
 *
 * @param picture null = a drawing without the frame
 * @param caption written into the picture, for a still that stands alone; null = none
 */
export function stillSvg(
  plan: StillPlan,
  picture: StillPicture | null,
  label: string,
  caption: string | null = null,
): Markup {
  const { box, unitPx: unit, width, touchdown, recovery, arms, body } = plan;
  const grid = plan.scale ? iceGrid(plan.scale, plan.frame) : [];
  const values = placeValues(plan, [
    width && { line: width, words: `width ${metres(width)}` },
    touchdown && { line: touchdown, words: `touchdown ${metres(touchdown)}` },
    recovery && { line: recovery, words: `recovery ${metres(recovery)}` },
    ...arms.map((arm) => ({
      line: { blade: arm.swing[0], toward: arm.swing[1] },
      words: `${arm.side} arm ${degrees(arm)}`,
    })),
  ]);
  const taken = [...values.map((v) => v.area), ...(body ? [body] : [])];
  const labels = grid.flatMap(({ label: metres, points }) => {
    const end = metres && leftEnd(points, box, unit);
    if (!end) return [];
    const size = GRID * unit;
    const at = { xPx: end.xPx, yPx: end.yPx - 0.6 * unit };
    const area = { x: at.xPx, y: at.yPx - size, width: LETTER * size * metres.text.length, height: size };
    return taken.some((t) => overlap(t, area)) ? [] : [text(at, metres.text, size, "start")];
  });
  const corner = { xPx: box.x + 2 * unit, yPx: box.y + (1 + VALUE) * unit };
  const key = { xPx: corner.xPx, yPx: corner.yPx + 1.3 * VALUE * unit };
  return html`<svg xmlns="http://www.w3.org/2000/svg" viewBox="${box.x} ${box.y} ${box.width} ${box.height}" width="640" height="${Math.round((640 * box.height) / box.width)}" role="img" aria-label="${label}" font-family="system-ui, 'DejaVu Sans', sans-serif"><title>${label}</title><rect x="${box.x}" y="${box.y}" width="${box.width}" height="${box.height}" fill="#e9f1f5"/>${
    picture &&
    html`<image href="${picture.href}" x="${picture.at.x}" y="${picture.at.y}" width="${picture.at.width}" height="${picture.at.height}" preserveAspectRatio="none"/>`
  }${grid.flatMap((g) =>
    (body ? outsideArea(g.points, body) : [g.points]).map(
      (points) =>
        html`<polyline points="${pairs(points)}" fill="none" stroke="#0b6e8f" stroke-opacity="${g.strong ? 0.8 : 0.45}" stroke-width="${number((g.strong ? 0.5 : 0.28) * unit)}"/>`,
    ),
  )}${width && trackLine(width, unit)}${recovery && plumbLines(recovery, unit)}${[
    width && measured(plan, width, `width ${metres(width)}`, "solid"),
    touchdown && measured(plan, touchdown, `touchdown ${metres(touchdown)}`, "dashed"),
    recovery && measured(plan, recovery, `recovery ${metres(recovery)}`, "solid"),
  ]}${arms.map((arm) => armDrawn(arm, unit))}${plan.marks.map((m) => dot(m, m.side === "left", unit))}${labels}${values.map((v) => text(v.at, v.words, VALUE * unit, "middle"))}${[
    caption === null ? null : text(corner, caption, VALUE * unit, "start"),
    caption === null || plan.marks.length === 0 ? null : text(key, MARKS_KEY, GRID * unit, "start"),
  ]}</svg>`;
}

/** The same still in words. */
export function stillLabel(plan: StillPlan, who: string): string {
  const said = [
    plan.width && `stride width ${metres(plan.width)}`,
    plan.touchdown && `touchdown to track midline ${metres(plan.touchdown)}`,
    plan.recovery && `recovery to midline ${metres(plan.recovery)}`,
    ...plan.arms.map((arm) => `arm-swing direction of the ${arm.side} arm ${degrees(arm)}`),
  ].filter((t) => t !== null);
  const drawn = said.length > 0 ? `; ${said.join(", ")}, drawn to scale on the ice` : "";
  return `${who}: frame ${plan.frame}${plan.shows && `, ${plan.shows}`}${drawn}.`;
}

/** What stands in a picture that is shown on its own: "Aino, close recovery, trial 1 · frame 103". */
export function frameCaption({ frame, shows }: StillPlan, who: string): string {
  return `${who} · frame ${frame}${shows && `, ${shows}`}`;
}

/** Tells a still's frame from all others of a study. */
export function stillKey({ trial, frame }: Pick<StillPlan, "trial" | "frame">): string {
  return `${trial} ${frame}`;
}

function degrees({ value, u95 }: Pick<ArmLine, "value" | "u95">): string {
  return formatReading({ value, u95 }, "°");
}

/**
 * Upper arm and forearm at this extreme, solid, and at the other one, dashed, from the same shoulder; on the ice below the way
 * of the wrist past the shoulder, a ring at its front end, and the travel, dotted.
 */
function armDrawn({ side, joints, other, swing, travel, value, u95 }: ArmLine, unit: number): Markup {
  const limbs = (points: readonly PicturePoint[], dashes: Markup) => {
    const at = points.map((p) => `${number(p.xPx)},${number(p.yPx)}`).join(" ");
    return html`<polyline points="${at}" fill="none" stroke="${PAPER}" stroke-width="${number(1.8 * unit)}"/><polyline points="${at}" fill="none" stroke="${INK}" stroke-width="${number(0.8 * unit)}"${dashes}/>`;
  };
  const [back, front] = swing;
  const dashed = new Markup(` stroke-dasharray="${number(1.6 * unit)} ${number(unit)}"`);
  const words = `${side} arm ${degrees({ value, u95 })}`;
  return html`<g role="img" aria-label="${words}">${dotted(...travel, unit)}<line ${between(back, front)} stroke="${PAPER}" stroke-width="${number(2 * unit)}"/><line ${between(back, front)} stroke="${INK}" stroke-width="${number(1.1 * unit)}"/><circle cx="${number(front.xPx)}" cy="${number(front.yPx)}" r="${number(1.2 * unit)}" fill="${PAPER}" stroke="${INK}" stroke-width="${number(0.5 * unit)}"/>${limbs(other, dashed)}${limbs(joints, new Markup(""))}</g>`;
}

function metres({ value, u95 }: MeasuredLine): string {
  return formatReading({ value, u95 }, "m");
}

function measured(
  { unitPx: unit }: StillPlan,
  line: MeasuredLine,
  words: string,
  stroke: "solid" | "dashed",
): Markup {
  const ends = between(line.blade, line.toward);
  const dashes = stroke === "dashed" ? ` stroke-dasharray="${number(2 * unit)} ${number(1.1 * unit)}"` : "";
  return html`<g role="img" aria-label="${words}"><line ${ends} stroke="${PAPER}" stroke-width="${number(2 * unit)}"/><line ${ends} stroke="${INK}" stroke-width="${number(1.1 * unit)}"${new Markup(dashes)}/><circle cx="${number(line.blade.xPx)}" cy="${number(line.blade.yPx)}" r="${number(1.2 * unit)}" fill="${PAPER}" stroke="${INK}" stroke-width="${number(0.5 * unit)}"/></g>`;
}

interface PlacedValue {
  readonly words: string;
  /** Middle of the words, on their base line. */
  readonly at: PicturePoint;
  readonly area: Area;
}

/** Values under everything that was marked and measured, so that they cover no skate; kept inside the picture. */
function placeValues(
  { box, unitPx: unit, marks }: StillPlan,
  values: readonly (
    | false
    | null
    | { readonly line: Pick<MeasuredLine, "blade" | "toward">; readonly words: string }
  )[],
): PlacedValue[] {
  const said = values.filter((v) => v !== null && v !== false);
  const lines = said.map((v) => v.line);
  const [size, row] = [VALUE * unit, 1.25 * VALUE * unit];
  const lowest = Math.max(...[...marks, ...lines.flatMap((l) => [l.blade, l.toward])].map((p) => p.yPx));
  const first = Math.min(lowest + 7.5 * unit, box.y + box.height - 1.5 * unit - (said.length - 1) * row);
  return said.map(({ line, words }, k) => {
    const half = (LETTER * size * words.length) / 2;
    const middle = (line.blade.xPx + line.toward.xPx) / 2;
    const at = {
      xPx: Math.min(Math.max(middle, box.x + half), box.x + box.width - half),
      yPx: first + k * row,
    };
    return { words, at, area: { x: at.xPx - half, y: at.yPx - size, width: 2 * half, height: 1.2 * size } };
  });
}

function overlap(a: Area, b: Area): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

/** Through the other blade's blade-offs, dotted. */
function trackLine({ track }: WidthLine, unit: number): Markup {
  return dotted(...track, unit);
}

function dotted(from: PicturePoint, to: PicturePoint, unit: number): Markup {
  const track = [from, to] as const;
  return html`<line ${between(...track)} stroke="${PAPER}" stroke-width="${number(1.3 * unit)}" stroke-opacity="0.8"/><line ${between(...track)} stroke="${INK}" stroke-width="${number(0.5 * unit)}" stroke-dasharray="${number(0.9 * unit)} ${number(1.1 * unit)}"/>`;
}

/** Down from mid-hip to the ice and from the blade in the air to the ice, dotted; the midline on the ice between. */
function plumbLines(line: RecoveryLine, unit: number): Markup {
  const dots = `${number(0.9 * unit)} ${number(1.1 * unit)}`;
  const drawn = (a: PicturePoint, b: PicturePoint) =>
    html`<line ${between(a, b)} stroke="${PAPER}" stroke-width="${number(1.3 * unit)}" stroke-opacity="0.8"/><line ${between(a, b)} stroke="${INK}" stroke-width="${number(0.5 * unit)}" stroke-dasharray="${dots}"/>`;
  return html`${drawn(line.hip, line.belowHip)}${drawn(line.belowHip, line.toward)}${drawn(line.air, line.blade)}`;
}

/** A mark; the halo tells it from dark and from light clothes. */
function dot(at: PicturePoint, left: boolean, unit: number): Markup {
  const place = new Markup(`cx="${number(at.xPx)}" cy="${number(at.yPx)}" r="${number(unit)}"`);
  const ring = left ? "#0a6aa6" : "#d55e00";
  return html`<circle ${place} fill="none" stroke="${PAPER}" stroke-width="${number(1.2 * unit)}"/><circle ${place} fill="${left ? "none" : ring}" stroke="${ring}" stroke-width="${number(0.45 * unit)}"/>`;
}

function text(at: PicturePoint, words: string, size: number, anchor: "start" | "middle"): Markup {
  const same = new Markup(
    `x="${number(at.xPx)}" y="${number(at.yPx)}" font-size="${number(size)}" text-anchor="${anchor}" font-weight="bold"`,
  );
  // The seam is a text of its own: not every drawing library knows the order of fill and stroke.
  return html`<text ${same} aria-hidden="true" fill="none" stroke="${PAPER}" stroke-width="${number(size / 4)}" stroke-linejoin="round">${words}</text><text ${same} fill="${INK}">${words}</text>`;
}

/** The leftmost point of a grid line that is well inside the box: at the edge of the grid, where no skater stands. */
function leftEnd(points: readonly number[], box: Box, unit: number): PicturePoint | null {
  let best: PicturePoint | null = null;
  for (let k = 0; k + 1 < points.length; k += 2) {
    const p = { xPx: points[k]!, yPx: points[k + 1]! };
    const inside =
      p.xPx > box.x + unit &&
      p.xPx < box.x + box.width - 12 * unit &&
      p.yPx > box.y + 5 * unit &&
      p.yPx < box.y + box.height - unit;
    if (inside && (best === null || p.xPx < best.xPx)) best = p;
  }
  return best;
}

function between(a: PicturePoint, b: PicturePoint): Markup {
  const [x1, y1, x2, y2] = [a.xPx, a.yPx, b.xPx, b.yPx].map(number);
  return new Markup(`x1="${x1}" y1="${y1}" x2="${x2}" y2="${y2}"`);
}

function pairs(points: readonly number[]): string {
  return points
    .flatMap((_, k) => (k % 2 === 0 ? [`${number(points[k]!)},${number(points[k + 1]!)}`] : []))
    .join(" ");
}

function number(value: number): number {
  return Number(value.toFixed(1));
}
