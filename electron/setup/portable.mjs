// npm run package -- --portable: one folder and its archive in dist/portable, with the Node that runs this, for who has none.
// `-- --portable --try` moves the folder elsewhere and starts it with no Node on the path and an empty home.
import { spawn, spawnSync } from "node:child_process";
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { basename, dirname, join } from "node:path";
import { ensureBrowser } from "./browser.mjs";
import { OUTSIDE } from "./outside.mjs";
import { root, say, stop } from "./run.mjs";

const SYSTEM =
  /** @type {Record<string, string>} */ ({ linux: "linux", darwin: "macos", win32: "windows" })[
    process.platform
  ] ?? process.platform;
const WINDOWS = process.platform === "win32";
const NODE = WINDOWS ? "node.exe" : "node";

/** Files of the program, from the root; what is not there is left out (ffmpeg's own program, where it was not fetched). */
const OURS = [
  "package.json",
  "LICENSE",
  "THIRD-PARTY.md",
  "dist/app",
  "dist/electron",
  "electron/suggest/models",
  "sample-clips/clips",
  "sample-clips/demo-study",
];

/** The packages that the build leaves outside, and what they need. */
function packages() {
  const found = new Set(["dejavu-fonts-ttf"]);
  const waiting = OUTSIDE.filter((name) => name !== "electron");
  for (let name = waiting.pop(); name !== undefined; name = waiting.pop()) {
    const manifest = join(root, "node_modules", name, "package.json");
    if (found.has(name) || !existsSync(manifest)) continue;
    found.add(name);
    const { dependencies = {}, optionalDependencies = {} } = JSON.parse(readFileSync(manifest, "utf8"));
    waiting.push(...Object.keys(dependencies), ...Object.keys(optionalDependencies));
  }
  return [...found];
}

const START_SH = `#!/bin/sh
# Opens Blademark in the browser. Nothing is written outside this folder and your studies.
here=$(cd "\${0%/*}" && pwd)
export BLADEMARK_HOME="$here/home"
mkdir -p "$BLADEMARK_HOME" 2>/dev/null || "$here/node" -e 'require("fs").mkdirSync(process.env.BLADEMARK_HOME,{recursive:true})'
echo $$ > "$BLADEMARK_HOME/pid"
exec "$here/node" "$here/app/dist/electron/cli.js" serve --open "$@"
`;
const STOP_SH = `#!/bin/sh
# Ends Blademark; what you did is saved.
here=$(cd "\${0%/*}" && pwd)
read pid < "$here/home/pid" && kill "$pid"
`;
const START_CMD = `@echo off\r
set "BLADEMARK_HOME=%~dp0home"\r
if not exist "%BLADEMARK_HOME%" mkdir "%BLADEMARK_HOME%"\r
"%~dp0node.exe" "%~dp0app\\dist\\electron\\cli.js" serve --open %*\r
`;

/** @param {boolean} ffmpeg */
const readMe = (ffmpeg) => `Blademark, in one folder.

Start: double-click "${startName()}" (where your system asks: "Run"). Your browser opens with the demo study; "Studies" in the bar
opens others and makes new ones. If no browser opens, start it in a terminal and open the address it prints.
Stop: ${WINDOWS ? "close its black window" : `double-click "${stopName()}"`}. What you did is saved.

Nothing is installed. What Blademark keeps for itself is in "home" in this folder; to remove it, delete the folder.
${ffmpeg ? "ffmpeg, which reads clips, comes along (its licence lies beside it)." : "ffmpeg, which reads clips, does not come along: install it from your system (Debian, Ubuntu: apt install ffmpeg; macOS: brew install ffmpeg). Without it everything but clips works."}
`;

const startName = () =>
  WINDOWS
    ? "Start Blademark.cmd"
    : process.platform === "darwin"
      ? "Start Blademark.command"
      : "Start Blademark.sh";
const stopName = () => startName().replace("Start", "Stop");

/** Makes the folder and its archive. @returns the folder */
export function packPortable() {
  const { version } = JSON.parse(readFileSync(join(root, "package.json"), "utf8"));
  const folder = join(root, "dist/portable", `blademark-${version}-${SYSTEM}-${process.arch}`);
  rmSync(dirname(folder), { recursive: true, force: true });
  mkdirSync(join(folder, "app"), { recursive: true });
  const from = [...OURS, ...packages().map((name) => `node_modules/${name}`)].filter((path) =>
    existsSync(join(root, path)),
  );
  for (const path of from)
    cpSync(join(root, path), join(folder, "app", path), { recursive: true, dereference: true });
  cpSync(process.execPath, join(folder, NODE), { dereference: true });
  chmodSync(join(folder, NODE), 0o755);
  const ffmpeg = existsSync(join(root, "node_modules/ffmpeg-static", WINDOWS ? "ffmpeg.exe" : "ffmpeg"));
  writeFileSync(join(folder, "READ ME.txt"), readMe(ffmpeg));
  writeFileSync(join(folder, startName()), WINDOWS ? START_CMD : START_SH, { mode: 0o755 });
  if (!WINDOWS) writeFileSync(join(folder, stopName()), STOP_SH, { mode: 0o755 });
  const archive = `${folder}.${WINDOWS ? "zip" : "tar.gz"}`;
  const packed = spawnSync(
    "tar",
    [WINDOWS ? "-acf" : "-czf", archive, "-C", dirname(folder), basename(folder)],
    { stdio: "inherit" },
  );
  if (packed.status !== 0) stop("The folder was made, but tar could not pack it.");
  say(
    `Made: ${archive.slice(root.length + 1)}${ffmpeg ? "" : ", without ffmpeg: READ ME.txt says how to install it"}.`,
  );
  return folder;
}

/** Starts a copy in another place as a person without Node would, asks it for the demo, measures, and stops it. @param {string} folder */
export async function tryPortable(folder) {
  const outer = mkdtempSync(join(tmpdir(), "blademark portable "));
  const [moved, home] = [join(outer, "my tools"), join(outer, "home")];
  mkdirSync(home);
  cpSync(folder, moved, { recursive: true });
  const env = { HOME: home, PATH: "/nowhere" };
  const child = spawn("/bin/sh", [join(moved, startName())], { env, stdio: ["ignore", "ignore", "pipe"] });
  try {
    let said = "";
    const address = await new Promise((resolve, reject) => {
      child.stderr.on("data", (part) => {
        said += part;
        const found = /http:\/\/\S+key=[\w-]+/.exec(said);
        if (found) resolve(found[0]);
      });
      child.on("exit", () => reject(new Error(`It ended: ${said}`)));
    });
    const first = await fetch(address, { redirect: "manual" });
    const headers = { cookie: (first.headers.get("set-cookie") ?? "").split(";")[0] ?? "" };
    const window = new URL(first.headers.get("location") ?? "", address);
    const page = await (await fetch(window, { headers })).text();
    const { study } = await (await fetch(new URL("api/study", window), { headers })).json();
    if (!page.includes("<script") || study.skaters.length !== 5) stop("The window or the demo did not come.");
    const cli = join(moved, "app/dist/electron/cli.js");
    const measured = spawnSync(
      join(moved, NODE),
      [cli, "measure", join(moved, "app/sample-clips/demo-study"), "aino-open-1"],
      { env, encoding: "utf8" },
    );
    if (measured.status !== 0 || !/stride width/i.test(measured.stdout))
      stop(`It does not measure: ${measured.stderr}`);
    const ended = new Promise((resolve) =>
      child.removeAllListeners("exit").on("exit", (code) => resolve(code)),
    );
    spawnSync("/bin/sh", [join(moved, stopName())], { env });
    if ((await ended) !== 0) stop("It did not end in order.");
    if (readdirSync(home).length > 0)
      stop(`It wrote into the home directory: ${readdirSync(home).join(", ")}`);
    // The demo's main job, in a browser, by the same test that the sources stand.
    const job = spawnSync(
      process.execPath,
      [
        join(root, "node_modules/vitest/vitest.mjs"),
        "run",
        "tests/browser/wholeJob.test.ts",
        "-t",
        "the whole job on a rendered clip",
      ],
      {
        cwd: root,
        env: { ...process.env, BLADEMARK_PORTABLE: moved, CHROMIUM_PATH: ensureBrowser() },
        stdio: "inherit",
      },
    );
    if (job.status !== 0) stop("The demo's main job can't be done in it.");
    say(
      "Tried from another place, with no Node on the path and an empty home: window, demo, measuring, the whole job in a browser, stop. All is well.",
    );
  } finally {
    child.kill("SIGKILL");
    rmSync(outer, { recursive: true, force: true });
  }
}
