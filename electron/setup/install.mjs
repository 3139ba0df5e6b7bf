// Installs what package-lock.json names, once, and runs the two install scripts we want by name.
// .npmrc turns all other install scripts off; both of ours may fail (no internet) without harm.
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { root, runToEnd, say, stop } from "./run.mjs";

const lockFile = join(root, "package-lock.json");
const stamp = join(root, "node_modules", ".cache", "installed-lock");

/** Fast when nothing changed: one hash of the lock file. An installed package has no lock file and is complete. */
export function ensureInstalled() {
  if (!existsSync(lockFile)) return;
  const [major = 0, minor = 0] = process.versions.node.split(".").map(Number);
  if (major < 20 || (major === 20 && minor < 19)) {
    stop(
      `Blademark needs Node 20.19 or newer; this is Node ${process.versions.node}. Get a newer one from nodejs.org.`,
    );
  }
  const wanted = createHash("sha256").update(readFileSync(lockFile)).digest("hex");
  if (existsSync(stamp) && readFileSync(stamp, "utf8") === wanted) return;
  if (!alreadyInstalled()) {
    say("Installing what Blademark needs (once; a minute or so) ...");
    if (!runToEnd("npm", ["ci", "--no-audit", "--no-fund", "--loglevel=error"])) {
      stop(
        "npm could not install the packages. Check the internet connection, then run the same command again.\n" +
          "Behind a proxy: npm config set proxy http://HOST:PORT",
      );
    }
  }
  fetchFfmpegStatic();
  mkdirSync(join(root, "node_modules", ".cache"), { recursive: true });
  writeFileSync(stamp, wanted);
}

/** Whether somebody's own `npm ci` has put just these packages here: npm keeps a list of what it installed. */
function alreadyInstalled() {
  const installedFile = join(root, "node_modules", ".package-lock.json");
  if (!existsSync(installedFile)) return false;
  /** @type {{ packages: Record<string, { version?: string, integrity?: string, optional?: boolean }> }} */
  const wanted = JSON.parse(readFileSync(lockFile, "utf8"));
  /** @type {typeof wanted} */
  const installed = JSON.parse(readFileSync(installedFile, "utf8"));
  return Object.entries(wanted.packages).every(([path, { version, integrity, optional }]) => {
    const there = installed.packages[path];
    // What is for other systems is left out by npm itself.
    if (path === "" || (!there && optional)) return true;
    return there?.version === version && there?.integrity === integrity;
  });
}

/** ffmpeg-static's own download; where it fails another ffmpeg is used (ffmpeg.mjs). */
function fetchFfmpegStatic() {
  const script = join(root, "node_modules", "ffmpeg-static", "install.js");
  if (existsSync(script)) runToEnd(process.execPath, [script], { quiet: true });
}
