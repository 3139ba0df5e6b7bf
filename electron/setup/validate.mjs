// npm run validate: simulated trials of known truth through the measuring core, as a table. Never part of npm test,
// which runs a small share of it.
import { bundled } from "./bundled.mjs";
import { ensureInstalled } from "./install.mjs";

ensureInstalled();
const { main } = await bundled("tests/validate/validate.ts", "validate");
process.exitCode = await main(process.argv.slice(2));
