// Sees to it that some ffmpeg is there. Where it is looked for at run time: electron/clip/ffmpeg/findFfmpeg.ts, same order.
import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import { delimiter, join } from "node:path";
import { isOnPath, root, runToEnd, say, stop } from "./run.mjs";

const requireHere = createRequire(import.meta.url);

function isThere() {
  if (process.env.BLADEMARK_FFMPEG) return true;
  const binary = process.platform === "win32" ? "ffmpeg.exe" : "ffmpeg";
  if (existsSync(join(root, "node_modules", "ffmpeg-static", binary))) return true;
  const folders = (process.env.PATH ?? "").split(delimiter);
  if (folders.some((folder) => existsSync(join(folder, binary)))) return true;
  try {
    return existsSync(requireHere("@ffmpeg-installer/ffmpeg").path);
  } catch {
    return false;
  }
}

export function ensureFfmpeg() {
  if (isThere()) return;
  if (canInstallFromDebian()) {
    say("Installing ffmpeg (Debian's package) ...");
    installFromDebian("ffmpeg");
    if (isThere()) return;
  }
  say("Fetching an ffmpeg build from the package registry ...");
  runToEnd("npm", [
    "install",
    "--no-save",
    "--no-audit",
    "--no-fund",
    "--loglevel=error",
    "@ffmpeg-installer/ffmpeg@1",
  ]);
  if (isThere()) return;
  stop(
    "Blademark reads video through ffmpeg, and none could be found or fetched. Install it, then run the same command again:\n" +
      "  Debian, Ubuntu: sudo apt install ffmpeg     macOS: brew install ffmpeg     Windows: winget install ffmpeg\n" +
      "or set BLADEMARK_FFMPEG to the full path of an ffmpeg program.",
  );
}

export function canInstallFromDebian() {
  return process.platform === "linux" && process.getuid?.() === 0 && isOnPath("apt-get");
}

/** @param {string} name */
export function installFromDebian(name) {
  const env = { DEBIAN_FRONTEND: "noninteractive" };
  const install = ["install", "-y", "--no-install-recommends", name];
  if (runToEnd("apt-get", install, { quiet: true, env })) return true;
  runToEnd("apt-get", ["update"], { quiet: true, env });
  return runToEnd("apt-get", install, { env });
}
