import { cpSync, existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it, onTestFinished, vi } from "vitest";
import { OpenStudies } from "../../electron/openStudies.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { violations } from "./axe.ts";
import { testBrowser } from "./testBrowser.ts";

const ROOT = join(import.meta.dirname, "../..");

const browser = testBrowser();

describe("the start page", () => {
  it("makes the next evening by one press, plans it, and goes back to the first, without a terminal", async () => {
    const outer = temporaryFolder();
    vi.stubEnv("BLADEMARK_HOME", outer);
    const first = join(outer, "first");
    cpSync(join(ROOT, "sample-clips/demo-study"), first, { recursive: true });
    const studies = new OpenStudies(join(ROOT, "dist/app"));
    const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
    onTestFinished(async () => {
      await context.close();
      await studies.close();
      vi.unstubAllEnvs();
    });
    const page = await context.newPage();
    const { url } = await studies.server(first, 0);
    await page.goto(url);
    await page.getByRole("button", { name: "Studies", exact: true }).click();
    await page.getByRole("heading", { name: "Recent" }).waitFor();
    await page.getByText(first, { exact: true }).waitFor();
    expect(await violations(page)).toEqual([]);
    if (process.env.SHOTS) await page.screenshot({ path: join(process.env.SHOTS, "start.png") });
    await page.getByRole("textbox", { name: "Folder, next evening of this study" }).press("Enter");
    await page.waitForURL((address) => address.origin !== new URL(url).origin);
    await page.getByRole("heading", { name: "Plan" }).waitFor();
    const second = `${first} next`;
    expect(existsSync(join(second, "study.json"))).toBe(true);
    await page.getByRole("textbox", { name: "Date" }).fill("2027-01-21");
    await page.getByRole("textbox", { name: "Date" }).press("Enter");
    await page.getByRole("textbox", { name: "Ice", exact: true }).fill("hard");
    await page.getByRole("textbox", { name: "Ice", exact: true }).press("Enter");
    await page.getByLabel("Who said what is worth having, and when").fill("the coach, on Monday");
    await page.getByLabel("When to stop").fill("when all are skated");
    await page.getByLabel("When to stop").press("Enter");
    await page.getByRole("button", { name: "Lock the plan" }).click();
    await page.locator(".order-note", { hasText: "Nothing in it was changed since" }).waitFor();
    if (process.env.SHOTS)
      await page.screenshot({ path: join(process.env.SHOTS, "plan.png"), fullPage: true });
    if (process.env.SHOTS) {
      await page
        .locator(".order-note", { hasText: "Nothing in it was changed since" })
        .scrollIntoViewIfNeeded();
      await page.screenshot({ path: join(process.env.SHOTS, "locked.png") });
    }
    await page.getByRole("button", { name: "Studies", exact: true }).click();
    await page.getByRole("button", { name: `Open ${first}`, exact: true }).click();
    await page.waitForURL((address) => address.origin === new URL(url).origin);
    await page.getByRole("navigation", { name: "Places" }).waitFor();
    const kept = JSON.parse(readFileSync(join(second, "study.json"), "utf8"));
    expect(kept).toMatchObject({ date: "2027-01-21", conditions: { ice: "hard" } });
    expect(kept.plan.locked.content).toMatchObject({ trials: 20, worthwhile: 0.04 });
  });
});
