#!/usr/bin/env node
// The command line: `blademark COMMAND ...`. In the repository it installs and builds first, saying so on standard error.
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { ensureBuilt } from "./build.mjs";
import { ensureInstalled } from "./install.mjs";
import { root } from "./run.mjs";

ensureInstalled();
await ensureBuilt();
await import(pathToFileURL(join(root, "dist/electron/cli.js")).href);
