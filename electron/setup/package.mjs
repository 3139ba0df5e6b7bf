// npm run package: the installer of the system it runs on, in dist/desktop. `-- --dry`: everything but Electron itself;
// `-- --portable`: a folder with Node that needs no installer (`--try`: and is tried).
import { existsSync } from "node:fs";
import { join } from "node:path";
import { ensureBuilt } from "./build.mjs";
import { ensureInstalled } from "./install.mjs";
import { packDry } from "./packDry.mjs";
import { packPortable, tryPortable } from "./portable.mjs";
import { root, runToEnd, say, stop } from "./run.mjs";

/** Fetched when it is used: a packer of its own, with three hundred packages nobody else needs. */
const PACKER = ["--yes", "electron-builder@26.17.0", "--config", join(root, "electron-builder.yml")];

ensureInstalled();
await ensureBuilt();
if (process.argv.includes("--portable")) {
  const folder = packPortable();
  if (process.argv.includes("--try")) await tryPortable(folder);
} else if (process.argv.includes("--dry")) packDry(PACKER);
else pack();

function pack() {
  const ffmpegStatic = join(root, "node_modules/ffmpeg-static");
  const program = join(ffmpegStatic, process.platform === "win32" ? "ffmpeg.exe" : "ffmpeg");
  if (!existsSync(program)) {
    say("Fetching the ffmpeg that comes along ...");
    runToEnd(process.execPath, [join(ffmpegStatic, "install.js")]);
    if (!existsSync(program))
      stop("ffmpeg-static's program could not be fetched; an installer without it would open no clip.");
  }
  if (!runToEnd("npx", [...PACKER, "--publish", "never"])) {
    stop(
      "The installer was not made. The packer and Electron's program are fetched from the internet; see the lines above.",
    );
  }
  say("Made: dist/desktop. Try it on a machine without Node before you give it away.");
}
