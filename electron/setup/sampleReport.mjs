import { spawnSync } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { findBrowser } from "./browser.mjs";

// npm run sample-report: docs/sample-report/report.html of the demo, and report.pdf where Chromium is at hand.

const out = mkdtempSync(join(tmpdir(), "blademark-sample-"));
const kept = join("docs", "sample-report");
try {
  run(process.execPath, [
    "electron/setup/blademark.mjs",
    "report",
    "sample-clips/demo-study",
    "--out",
    join(out, "report"),
  ]);
  const html = join(kept, "report.html");
  cpSync(join(out, "report", "report.html"), html);
  // The day it was made would change it every day.
  writeFileSync(
    html,
    readFileSync(html, "utf8").replace(/Made on [^<]*<\/p>/, "Made from the demo with Blademark.</p>"),
  );
  const chromium = findBrowser();
  if (chromium) {
    const pdf = join(out, "report.pdf");
    const page = pathToFileURL(html).href;
    run(
      chromium,
      [
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--no-pdf-header-footer",
        `--print-to-pdf=${pdf}`,
        page,
      ],
      "ignore",
    );
    cpSync(pdf, join(kept, "report.pdf"));
  } else console.log("No Chromium: report.pdf was left as it is.");
} finally {
  rmSync(out, { recursive: true, force: true });
}

/** @param {string} program @param {string[]} args @param {"inherit" | "ignore"} stdio */
function run(program, args, stdio = "inherit") {
  const { status } = spawnSync(program, args, { stdio });
  if (status !== 0) process.exit(status ?? 1);
}
