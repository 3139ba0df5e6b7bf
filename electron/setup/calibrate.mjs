// npm run calibrate: what Compare claims of studies in which the techniques make no difference, as a table. Never part of
// npm test, which runs a small share of it.
import { bundled } from "./bundled.mjs";
import { ensureInstalled } from "./install.mjs";

ensureInstalled();
const { main } = await bundled("tests/compare/calibrate.ts", "calibrate");
main(process.argv.slice(2));
