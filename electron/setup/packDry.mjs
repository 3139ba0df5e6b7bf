// Packs without Electron's program, which not every machine can fetch, and runs what was packed.
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { runToEnd, say, stop } from "./run.mjs";

/** Electron's mark in its program, before the switches the packer sets; see the README of @electron/fuses. */
const FUSES = "dL7pKGdnNz796PbbjQWNKmHXBZaB9tsX";

/**
 * Those switches in their order, as they must stand in what was packed (the enum FuseV1Options of @electron/fuses):
 * run as Node, cookies encrypted, NODE_OPTIONS, --inspect, archive checked, only from the archive, a snapshot of its
 * own, more rights for file: addresses, traps of WebAssembly.
 */
const SWITCHES = /^010011.0/;

/**
 * The packer judges electron-builder.yml, packs beside a stand-in for Electron, and the command in what came of it
 * writes the demo's report and a film, with nothing but the packages that were packed.
 *
 * @param {string[]} packer how the packer is called
 */
export function packDry(packer) {
  const work = mkdtempSync(join(tmpdir(), "blademark-package-"));
  try {
    const out = join(work, "out");
    const given = [`electronDist=${standIn(work)}`, "asar=false", `directories.output=${out}`];
    if (!runToEnd("npx", [...packer, "--linux", "dir", "--publish", "never", ...given.map((g) => `-c.${g}`)]))
      stop("The packer did not take it; see the lines above.");
    const resources = join(out, "linux-unpacked", "resources");
    say(summary(join(resources, "app")));
    const switches = switchesIn(join(out, "linux-unpacked"));
    if (!SWITCHES.test(switches))
      stop(`The packed program's switches are ${switches}, not as electron-builder.yml says.`);
    const study = join(resources, "sample-clips/demo-study");
    const used = [
      ["report", study, "--out", join(work, "report")],
      [
        "clip",
        study,
        "aino-close-1",
        "aino-open-1",
        "--out",
        join(work, "film.mp4"),
        "--from",
        "0",
        "--to",
        "0.2",
      ],
    ];
    for (const command of used)
      if (!runToEnd(process.execPath, [join(resources, "app/dist/electron/cli.js"), ...command]))
        stop("What was packed does not run: a package is missing in electron-builder.yml.");
    say("Packed and run, but for Electron itself.");
  } finally {
    rmSync(work, { recursive: true, force: true });
  }
}

/** @param {string} work @returns {string} a folder that looks like Electron to the packer */
function standIn(work) {
  const folder = join(work, "electron");
  mkdirSync(join(folder, "resources"), { recursive: true });
  writeFileSync(join(folder, "electron"), `${FUSES}\x01\x09${"1".repeat(9)}`);
  for (const name of ["LICENSE", "LICENSES.chromium.html"]) writeFileSync(join(folder, name), "");
  return folder;
}

/** @param {string} folder @returns {string} the switches in the packed program, one digit each: 0 off, 1 on, r removed */
function switchesIn(folder) {
  for (const name of readdirSync(folder)) {
    if (!statSync(join(folder, name)).isFile()) continue;
    const program = readFileSync(join(folder, name), "latin1");
    const at = program.indexOf(FUSES);
    // After the mark: the version, how many there are, then they.
    if (at >= 0)
      return program.slice(
        at + FUSES.length + 2,
        at + FUSES.length + 2 + program.charCodeAt(at + FUSES.length + 1),
      );
  }
  return "not there";
}

/** @param {string} app @returns {string} what lies in it, by folder and package, with sizes */
function summary(app) {
  /** @type {Map<string, { files: number, bytes: number }>} */
  const parts = new Map();
  for (const entry of readdirSync(app, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile()) continue;
    const path = join(entry.parentPath, entry.name);
    const names = path.slice(app.length + 1).split(/[\\/]/);
    const deep = names[0] !== "node_modules" ? 2 : names[1]?.startsWith("@") ? 3 : 2;
    const part = names.slice(0, deep).join("/");
    const { files, bytes } = parts.get(part) ?? { files: 0, bytes: 0 };
    parts.set(part, { files: files + 1, bytes: bytes + statSync(path).size });
  }
  return [...parts]
    .sort()
    .map(([part, { files, bytes }]) => `  ${part}: ${files} files, ${(bytes / 1e6).toFixed(1)} MB`)
    .join("\n");
}
