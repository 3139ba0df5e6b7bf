import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { _electron } from "playwright";
import { expect, it, onTestFinished } from "vitest";
import { studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { PATIENCE_MS } from "./measureWindow.ts";

const ROOT = join(import.meta.dirname, "../..");

/** Electron's program, where it has been fetched (`npm run desktop` does it). */
function program(): string | null {
  const named = join(ROOT, "node_modules/electron/path.txt");
  if (!existsSync(named)) return null;
  const path = join(ROOT, "node_modules/electron/dist", readFileSync(named, "utf8").trim());
  return existsSync(path) ? path : null;
}

const executablePath = program();
const name = "opens a study in its own window, without Node in the page, and saves";

it.skipIf(executablePath === null)(
  executablePath === null ? `${name} (SKIPPED: Electron's program is not on this machine)` : name,
  async () => {
    const folder = studyFolder();
    const app = await _electron.launch({
      executablePath: executablePath as string,
      args: [
        "--no-sandbox",
        join(ROOT, "dist/electron/main.js"),
        folder,
        `--user-data-dir=${temporaryFolder()}`,
      ],
    });
    onTestFinished(() => app.close());
    const page = await app.firstWindow();
    await page.getByRole("navigation", { name: "Places" }).getByRole("button", { name: /^Plan/ }).click();
    expect(page.url()).toBe("blademark://app/");
    expect(
      await page.evaluate(() => ["process", "require", "Buffer"].filter((n) => n in globalThis)),
    ).toEqual([]);
    const question = page.getByRole("region", { name: "Question" }).getByRole("textbox").first();
    await question.fill("Asked on the desktop");
    await question.press("Tab");
    await expect
      .poll(() => JSON.parse(readFileSync(join(folder, "study.json"), "utf8")).question, {
        timeout: PATIENCE_MS,
      })
      .toBe("Asked on the desktop");
    await page.evaluate(() => window.open("https://rink.example/"));
    expect(app.windows()).toHaveLength(1);
  },
);
