// npm run package: the desktop app as an installer for this system, in dist/desktop (needs the internet).
import { join } from "node:path";
import { ensureBuilt } from "./build.mjs";
import { ensureInstalled } from "./install.mjs";
import { root, runToEnd, say, stop } from "./run.mjs";

/** Fetched when it is used: a packer of its own, with three hundred packages nobody else needs. */
const PACKER = "electron-builder@26.0.12";

ensureInstalled();
await ensureBuilt();
if (
  !runToEnd("npx", ["--yes", PACKER, "--config", join(root, "electron-builder.yml"), "--publish", "never"])
) {
  stop(
    `The installer was not made. ${PACKER} and Electron's program are fetched from the internet; see the lines above.`,
  );
}
say("Made: dist/desktop. Try it on a machine without Node before you give it away.");
