// npm run rooms: draws the rooms of the house and their imports as docs/rooms.svg. A test fails while it is not current.
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { arrowsBetweenRooms, importsOf, ROOMS } from "./rooms.mjs";
import { root, say } from "./run.mjs";

const BOX = { width: 168, height: 40, gapX: 14, gapY: 34, left: 96 };
const PARTS = ["src", "electron", "app"];
/** @type {Readonly<Record<string, string>>} */
const FILL = { src: "#e6f1f8", electron: "#f3efe4", app: "#eaf3e8" };

/** @param {string} room */
const partOf = (room) => room.split("/")[0] ?? room;

/**
 * The rooms in floors, each above what it imports; SVG as text, the same for the same imports.
 * @param {ReturnType<typeof importsOf>} [imports]
 */
export function drawRooms(imports = importsOf()) {
  const arrows = [...arrowsBetweenRooms(imports).keys()].sort().map((arrow) => {
    const [from = "", to = ""] = arrow.split(" > ");
    return { from, to };
  });
  /** @param {string} room */
  const needs = (room) => arrows.filter((a) => a.from === room).map((a) => a.to);
  /** @param {string} room @returns {number} */
  const floorOf = (room) => {
    const below = needs(room).filter((r) => r in ROOMS && partOf(r) === partOf(room));
    return below.length === 0 ? 0 : 1 + Math.max(...below.map(floorOf));
  };
  const rooms = Object.keys(ROOMS).map((room) => ({ room, part: partOf(room), floor: floorOf(room) }));
  const floors = PARTS.flatMap((part) => {
    const own = rooms.filter((r) => r.part === part);
    const levels = [...new Set(own.map((r) => r.floor))].sort((a, b) => a - b);
    return levels.map((level) => own.filter((r) => r.floor === level));
  });
  const width = BOX.left + Math.max(...floors.map((f) => f.length)) * (BOX.width + BOX.gapX) + BOX.gapX;
  const height = floors.length * (BOX.height + BOX.gapY) + 56;
  /** @type {Map<string, { x: number, y: number }>} */
  const place = new Map();
  for (const [k, floor] of floors.entries()) {
    const y = height - 24 - (k + 1) * (BOX.height + BOX.gapY) + BOX.gapY;
    for (const [n, { room }] of floor.entries())
      place.set(room, { x: BOX.left + BOX.gapX + n * (BOX.width + BOX.gapX), y });
  }
  const boxes = [...place].map(([room, { x, y }]) => {
    const name = room.replace(/^(src|app|electron)\//, "").replace(/^places\//, "place: ");
    const middle = x + BOX.width / 2;
    return [
      `<g><title>${room} imports: ${needs(room).join(", ") || "nothing"}</title>`,
      `<rect x="${x}" y="${y}" width="${BOX.width}" height="${BOX.height}" rx="6" fill="${FILL[partOf(room)]}" stroke="#567"/>`,
      `<text x="${middle}" y="${y + 25}" text-anchor="middle" font-weight="600">${name}</text></g>`,
    ].join("");
  });
  const lines = arrows.flatMap(({ from, to }) => {
    const [upper, lower] = [place.get(from), place.get(to)];
    if (!upper || !lower || partOf(from) !== partOf(to)) return [];
    const [x1, y1] = [upper.x + BOX.width / 2, upper.y + BOX.height];
    const [x2, y2] = [lower.x + BOX.width / 2, lower.y];
    const bend = (y1 + y2) / 2;
    return [
      `<path d="M${x1} ${y1} C${x1} ${bend} ${x2} ${bend} ${x2} ${y2}" fill="none" stroke="#89a" stroke-opacity="0.45"/>`,
    ];
  });
  const names = PARTS.map((part) => {
    const ys = [...place].filter(([room]) => partOf(room) === part).map(([, { y }]) => y);
    const middle = (Math.min(...ys) + Math.max(...ys) + BOX.height) / 2;
    return `<text x="16" y="${middle}" font-weight="700">${part}</text>`;
  });
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}" font-family="sans-serif" font-size="13" role="img">`,
    "<title>The rooms of Blademark: each imports only what stands below it</title>",
    `<rect width="${width}" height="${height}" fill="#fff"/>`,
    `<text x="16" y="24" font-weight="700" font-size="15">Each room imports only rooms below it (app and electron: src as well)</text>`,
    ...lines,
    ...boxes,
    ...names,
    "</svg>\n",
  ].join("\n");
}

export const ROOMS_DRAWING = join(root, "docs", "rooms.svg");

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) {
  writeFileSync(ROOMS_DRAWING, drawRooms());
  say("Drawn: docs/rooms.svg");
}
