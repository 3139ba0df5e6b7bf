import type { Page } from "playwright";
import { describe, expect, it, onTestFinished } from "vitest";
import { violations } from "./axe.ts";
import { PATIENCE_MS, serveStudy } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { demoWithClips, goToPlace, openWindow, placeButton } from "./wholeJobWindow.ts";

/** A window of 1440 x 900 at 200 %, and the smallest screen there is to be. */
const NARROW = [
  { width: 720, height: 450 },
  { width: 1024, height: 768 },
];
const USUAL = { width: 1440, height: 900 };

/** Mantine's menu holds what takes its focus among its items, and floats outside the landmarks. */
const MENU = { "aria-required-children": { enabled: false }, region: { enabled: false } };

/** What stands over a place that was judged before. */
const DIALOG = "[role=dialog]";

const browser = testBrowser();

describe("every place, light and dark", () => {
  it("gives axe nothing to find, also with its dialogs open, and never scrolls sideways", async () => {
    const page = await openDemo();
    await page.getByRole("region", { name: "First steps" }).getByText("List them all").click();
    await goToPlace(page, "Plan");
    await page.getByRole("heading", { name: "Camera" }).waitFor();
    await expectGood(page, "Plan");
    await page.getByRole("button", { name: "Leave", exact: true }).click();

    await goToPlace(page, "Times");
    await page.getByRole("button", { name: "Add clips" }).waitFor();
    await expectGood(page, "Times");
    const chooser = page.waitForEvent("filechooser");
    await page.getByRole("button", { name: "Add clips" }).click();
    await (await chooser).setFiles([
      { name: "bea-open-1.mp4", mimeType: "video/mp4", buffer: Buffer.from("") },
    ]);
    await page.getByRole("dialog").getByLabel("Trial of bea-open-1.mp4").waitFor();
    await expectGood(page, "Times, which trial a clip shows", { within: DIALOG });
    await page.keyboard.press("Escape");

    await goToPlace(page, "Measure");
    await page.waitForSelector("[data-testid=picture][data-shown-frame]", { timeout: PATIENCE_MS });
    await page.getByRole("region", { name: /^Numbers of stride/ }).waitFor();
    await expectGood(page, "Measure");
    await page.getByRole("button", { name: /^Clip time:/ }).click();
    await page.getByText("Gate at 30 m").waitFor();
    await expectGood(page, "Measure, gate frames");
    await page.getByRole("button", { name: "Close", exact: true }).click();
    await page.getByRole("button", { name: /^Ice: / }).click();
    await page
      .getByRole("heading", { name: /Scale|Ice/ })
      .first()
      .waitFor();
    await expectGood(page, "Measure, the scale");
    await page.keyboard.press("?");
    await page.getByRole("dialog", { name: "Keys and pointer in Measure" }).waitFor();
    await expectGood(page, "Measure, the keys", { within: DIALOG });
    await page.keyboard.press("Escape");
    await page.getByRole("button", { name: "More", exact: true }).click();
    await expectGood(page, "Measure, more", { rules: MENU });
    await page.getByRole("menuitem", { name: /^Clear all marks/ }).click();
    await page.getByRole("dialog", { name: "Clear all marks of this trial?" }).waitFor();
    await expectGood(page, "Measure, clear all marks", { within: DIALOG });
    await page.keyboard.press("Escape");

    await goToPlace(page, "Compare");
    await page.locator(".plot-figure svg").first().waitFor({ timeout: PATIENCE_MS });
    await expectGood(page, "Compare");
    await page.getByRole("button", { name: "Side by side" }).click();
    await page.getByTestId("film").waitFor({ timeout: PATIENCE_MS });
    await expectGood(page, "Compare, side by side", { within: DIALOG });
    await page.keyboard.press("Escape");

    await goToPlace(page, "Report");
    await page.locator(".report svg").first().waitFor({ timeout: PATIENCE_MS });
    await expectGood(page, "Report");
  });
});

describe("first steps", () => {
  it("say what comes next, can be left, stay left, and are found again in the bar", async () => {
    const page = await openDemo();
    const card = page.getByRole("region", { name: "First steps" });
    await card.getByText("List them all").click();
    const items = card.getByRole("listitem");
    expect(await items.count()).toBeLessThanOrEqual(12);
    // The demo's times are typed: neither this person's doing nor theirs to do.
    expect(await items.filter({ hasText: "Type the photocell times" }).count()).toBe(0);
    await card.getByRole("button", { name: /^Show me: Read which technique/ }).click();
    await items.filter({ hasText: "Read which technique" }).getByText("done").waitFor();
    await expect.poll(() => placeButton(page, "Compare").getAttribute("aria-current")).toBe("page");
    await card.getByRole("button", { name: "Leave", exact: true }).click();
    await page.reload();
    const again = page.getByRole("button", { name: "First steps" });
    await again.waitFor();
    expect(await card.count()).toBe(0);
    await again.click();
    await card.getByText("List them all").click();
    await items.filter({ hasText: "Read which technique" }).getByText("done").waitFor();
  });
});

/** The demo study; one clip is there, so that Measure has a picture. */
async function openDemo(): Promise<Page> {
  const folder = await demoWithClips(["aino-close-1"]);
  const server = await serveStudy(folder);
  onTestFinished(() => server.close());
  return openWindow(browser, server.url);
}

async function expectGood(
  page: Page,
  where: string,
  { rules = {}, within }: { rules?: object; within?: string } = {},
): Promise<void> {
  // No explanation floats over what is looked at.
  await page.mouse.move(0, 0);
  for (const colorScheme of ["light", "dark"] as const) {
    await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
    await page.waitForSelector(`html[data-mantine-color-scheme=${colorScheme}]`);
    // Colours on their way from one theme to the other are nobody's.
    await page.waitForFunction(() => document.getAnimations().length === 0);
    const only = colorScheme === "dark" ? ["color-contrast"] : undefined;
    expect(await violations(page, rules, only, within), `${where}, ${colorScheme}`).toEqual([]);
  }
  for (const size of NARROW) {
    await page.setViewportSize(size);
    // What floats is put anew a moment after the window has changed.
    const over = () => page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
    await expect
      .poll(over, { message: `${where} at ${size.width} x ${size.height}: px beside the window` })
      .toBe(0);
  }
  await page.setViewportSize(USUAL);
}
