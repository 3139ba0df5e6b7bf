// The rooms of the house and who may import whom: one table. `npm run check` holds the imports to it and finds circles of files.
import { readdirSync, readFileSync } from "node:fs";
import { join, posix, relative, sep } from "node:path";
import { root } from "./run.mjs";

/** What every room that measures stands on. */
const GROUND = ["src/errors.ts", "src/reading.ts", "src/statistics", "src/study", "src/uncertainty"];

/** What every place of the window that changes the study stands on. */
const PLACE = ["src", "app/commands", "app/frame", "app/places/shared", "app/shell", "app/store"];

/**
 * Floors of `src` from the ground up, then the window and the host. A room may import what its row names, and itself.
 * @type {Readonly<Record<string, readonly string[]>>}
 */
export const ROOMS = {
  "src/errors.ts": [],
  "src/priors.ts": [],
  "src/warningCodes.ts": [],
  "src/words.ts": [],
  "src/quantities": [],
  "src/statistics": ["src/errors.ts"],
  "src/study": ["src/errors.ts", "src/quantities"],
  "src/reading.ts": ["src/study", "src/warningCodes.ts"],
  "src/uncertainty": ["src/errors.ts", "src/reading.ts", "src/statistics"],
  "src/time": ["src/errors.ts", "src/uncertainty"],
  "src/marks": [...GROUND],
  "src/ice": [...GROUND, "src/marks", "src/priors.ts", "src/quantities", "src/words.ts"],
  "src/kinematics": [...GROUND, "src/ice", "src/marks", "src/priors.ts", "src/quantities", "src/time"],
  "src/compare": [...GROUND, "src/quantities", "src/words.ts"],
  "src/trials": [
    ...GROUND,
    "src/compare",
    "src/ice",
    "src/kinematics",
    "src/marks",
    "src/motion",
    "src/quantities",
    "src/time",
    "src/views",
  ],
  "src/suggest": ["src/statistics", "src/study"],
  "src/motion": ["src/ice", "src/reading.ts", "src/statistics", "src/study"],
  "src/views": [...GROUND, "src/ice", "src/kinematics", "src/priors.ts", "src/quantities", "src/time"],
  "src/pool": [
    "src/compare",
    "src/errors.ts",
    "src/quantities",
    "src/reading.ts",
    "src/statistics",
    "src/study",
    "src/uncertainty",
  ],
  "src/report": [
    ...GROUND,
    "src/compare",
    "src/ice",
    "src/kinematics",
    "src/marks",
    "src/motion",
    "src/pool",
    "src/quantities",
    "src/time",
    "src/trials",
    "src/views",
    "src/words.ts",
  ],
  "app/shell": ["src"],
  "app/commands": ["src"],
  "app/store": ["src", "app/commands", "app/shell"],
  "app/frame": ["src", "app/store"],
  "app/picture": ["src", "app/frame", "app/store"],
  "app/icemap": ["src", "app/frame"],
  "app/ribbon": ["src", "app/commands", "app/frame", "app/store"],
  "app/charts": ["src", "app/frame"],
  "app/film": ["src", "app/frame", "app/picture", "app/shell", "app/store"],
  "app/start": ["src", "app/shell", "app/store"],
  "app/season": ["src", "app/charts", "app/places/shared", "app/shell", "app/store"],
  "app/places/shared": ["src", "app/commands", "app/shell", "app/store"],
  "app/places/plan": [...PLACE],
  "app/places/times": [...PLACE],
  "app/places/measure": [...PLACE, "app/film", "app/icemap", "app/picture", "app/ribbon"],
  "app/places/compare": [...PLACE, "app/charts", "app/film"],
  "app/places/report": ["src", "app/charts", "app/frame", "app/places/shared", "app/shell", "app/store"],
  "electron/disk": ["src"],
  "electron/clip": ["src", "electron/disk"],
  "electron/film": ["src", "electron/clip"],
  "electron/suggest": ["src", "electron/clip", "electron/disk", "electron/film", "electron"],
  "electron/motion": ["src", "electron/clip", "electron/suggest", "electron"],
  "electron/sound": ["src", "electron/clip", "electron/motion", "electron"],
  "electron/vault": ["src", "electron/clip", "electron/disk"],
  "electron/library": ["src", "electron/disk", "electron/vault"],
  "electron/season": ["src", "electron/disk", "electron/vault"],
  "electron/host": [
    "src",
    "electron/clip",
    "electron/disk",
    "electron/film",
    "electron/library",
    "electron/season",
    "electron/motion",
    "electron/sound",
    "electron/suggest",
    "electron/vault",
  ],
  "electron/commands": [
    "src",
    "electron",
    "electron/clip",
    "electron/disk",
    "electron/film",
    "electron/library",
    "electron/motion",
    "electron/season",
    "electron/sound",
    "electron/suggest",
    "electron/vault",
  ],
};

/** What stands in the doorway of a part (`app/App.tsx`, `electron/serve.ts`) puts its rooms together: any of its part, and src. */
const DOORWAYS = ["app", "electron"];

/** @typedef {ReadonlyMap<string, readonly string[]>} Imports file → the files it imports */

/** @param {string} path */
const slashes = (path) => path.split(sep).join("/");

/** @param {string} folder */
function codeFiles(folder) {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name) && !entry.name.endsWith(".d.ts"))
    .map((entry) => slashes(relative(root, join(entry.parentPath ?? entry.path, entry.name))));
}

/**
 * The longest room that holds a file; the part itself for what stands in its doorway; null outside.
 * @param {string} file
 * @returns {string | null}
 */
export function roomOf(file) {
  const inside = Object.keys(ROOMS).filter((room) => file === room || file.startsWith(`${room}/`));
  if (inside.length > 0) return inside.reduce((a, b) => (b.length > a.length ? b : a));
  return DOORWAYS.find((part) => file.startsWith(`${part}/`)) ?? (file.startsWith("src/") ? "src" : null);
}

/**
 * Every relative import between files of src, app and electron.
 * @returns {Imports}
 */
export function importsOf(folders = ["src", "app", "electron"]) {
  const files = folders.flatMap((folder) => codeFiles(join(root, folder)));
  const known = new Set(files);
  return new Map(
    files.map((file) => {
      const text = readFileSync(join(root, file), "utf8");
      const found = [...text.matchAll(/(?:\bfrom|\bimport\(|\bimport)\s*"(\.[^"]+)"/g)].map((match) =>
        posix.normalize(posix.join(posix.dirname(file), match[1] ?? "")),
      );
      return [file, [...new Set(found)].filter((target) => known.has(target))];
    }),
  );
}

/**
 * Arrows between rooms: "from > to" → the imports behind it.
 * @param {Imports} imports
 * @returns {Map<string, string[]>}
 */
export function arrowsBetweenRooms(imports) {
  /** @type {Map<string, string[]>} */
  const arrows = new Map();
  for (const [file, targets] of imports) {
    for (const target of targets) {
      const [from, to] = [roomOf(file), roomOf(target)];
      if (from === to) continue;
      const key = `${from} > ${to}`;
      arrows.set(key, [...(arrows.get(key) ?? []), `${file} imports ${target}`]);
    }
  }
  return arrows;
}

/** A doorway's own files lie in no folder of it. @param {string} file */
function inNoRoom(file) {
  const room = roomOf(file);
  return room === "src" || (room !== null && DOORWAYS.includes(room) && file.split("/").length > 2);
}

/**
 * @param {string} from
 * @param {string} to
 */
function allowed(from, to) {
  if (DOORWAYS.includes(from)) return to.startsWith("src") || to.startsWith(from);
  const row = ROOMS[from];
  return row !== undefined && (row.includes(to) || (to.startsWith("src") && row.includes("src")));
}

/**
 * Files that import each other in a circle, each circle once (Tarjan's strongly connected components).
 * @param {Imports} imports
 */
export function circlesOf(imports) {
  /** @type {Map<string, number>} */
  const index = new Map();
  /** @type {string[]} */
  const stack = [];
  /** @type {string[][]} */
  const circles = [];
  /** @param {string} file @returns {number} the lowest index it can come back to */
  const visit = (file) => {
    const own = index.size;
    index.set(file, own);
    stack.push(file);
    let lowest = own;
    for (const next of imports.get(file) ?? []) {
      const seen = index.get(next);
      if (seen === undefined) lowest = Math.min(lowest, visit(next));
      else if (stack.includes(next)) lowest = Math.min(lowest, seen);
    }
    if (lowest === own) {
      const circle = stack.splice(stack.indexOf(file));
      if (circle.length > 1) circles.push(circle);
    }
    return lowest;
  };
  for (const file of imports.keys()) if (!index.has(file)) visit(file);
  return circles;
}

/**
 * What is wrong, a line each; none when the house is in order.
 * @param {Imports} [imports]
 * @returns {string[]}
 */
export function roomFaults(imports = importsOf()) {
  const faults = [];
  for (const file of imports.keys()) {
    if (inNoRoom(file)) faults.push(`${file} stands in no room of the table in electron/setup/rooms.mjs`);
  }
  for (const [arrow, found] of arrowsBetweenRooms(imports)) {
    const [from = "", to = ""] = arrow.split(" > ");
    if (!allowed(from, to)) faults.push(...found.map((line) => `${line}: ${from} may not import ${to}`));
  }
  for (const circle of circlesOf(imports)) faults.push(`a circle of files: ${circle.join(", ")}`);
  return faults;
}

/** @returns {boolean} */
export function checkRooms() {
  const faults = roomFaults();
  for (const fault of faults) process.stdout.write(`${fault}\n`);
  return faults.length === 0;
}
