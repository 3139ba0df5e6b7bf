import { cpSync } from "node:fs";
import { join } from "node:path";
import type { Locator, Page } from "playwright";
import { expect, it, onTestFinished } from "vitest";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { serveStudy } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { demoStudyWithoutClips, goToPlace, openWindow } from "./wholeJobWindow.ts";

const browser = testBrowser();

async function window(width: number, height: number, study = demoStudyWithoutClips()): Promise<Page> {
  const server = await serveStudy(study);
  onTestFinished(() => server.close());
  const page = await openWindow(browser, server.url);
  await page.setViewportSize({ width, height });
  return page;
}

const linesOf = (text: Locator) =>
  text.evaluate((p) => {
    const range = document.createRange();
    range.selectNodeContents(p);
    return new Set([...range.getClientRects()].map(({ top }) => Math.round(top))).size;
  });

it("a clip that seems to be another trial's says so whole, in three lines, and its row hardly grows", async () => {
  // Its clips are linked, though not found: what they say of times stands in the marks.
  const study = join(temporaryFolder(), "study");
  cpSync(join(import.meta.dirname, "../../sample-clips/demo-study"), study, { recursive: true });
  const page = await window(1024, 768, study);
  await goToPlace(page, "Times");
  const said = page.getByText(/^From gate to gate the clip shows 4\.32/);
  await said.waitFor({ timeout: 60_000 });
  // What it says stands in tests/trials/pairing.test.ts; here, that none of it is cut off.
  expect(await said.textContent()).toMatch(/0\.56 s apart.*consistent with 4 of the 19 other.*\.$/);
  expect(await linesOf(said)).toBeLessThanOrEqual(3);
  const cut = await said.evaluate(
    (p) => p.scrollWidth > p.clientWidth || p.scrollHeight > p.clientHeight + 1,
  );
  expect(cut).toBe(false);
  // Its trial is told by it to who can't see where it stands.
  const id = await said.evaluate((p) => p.closest("[id]")?.id);
  const row = page.locator(`tr[aria-describedby="${id}"]`);
  expect(await row.textContent()).toMatch(/Bea.*close recovery.*2/);
  expect((await row.boundingBox())!.height).toBeLessThan(80);
});

it("first steps and notices take no room from Measure's picture", async () => {
  const server = await serveStudy(demoStudyWithoutClips());
  onTestFinished(() => server.close());
  const first = await openWindow(browser, server.url);
  await first.getByTestId("saved").waitFor();
  // The second window over a study looks on, and is told so.
  const page = await openWindow(browser, server.url);
  await page.setViewportSize({ width: 1024, height: 768 });
  await page.getByText(/open for reading only: you can look/).waitFor();
  await goToPlace(page, "Measure");
  const picture = page.locator(".measure-picture");
  await picture.waitFor();
  // The ask strip, the frame's bar and their gaps take 176 px of it; without notices it is as high.
  const high = async () => (await picture.boundingBox())!.height;
  expect(await high()).toBeGreaterThan(430);
  const before = await high();
  await page.getByRole("button", { name: "List them all" }).click();
  await page.getByRole("button", { name: "Fold the list" }).waitFor();
  expect(await high()).toBe(before);
});

it("a place opens at its top, however far the one before was scrolled", async () => {
  const page = await window(1024, 768);
  await goToPlace(page, "Plan");
  const main = page.locator("main");
  await page.getByRole("heading", { name: "Skaters" }).waitFor();
  await main.evaluate((m) => m.scrollTo(0, 700));
  expect(await main.evaluate((m) => m.scrollTop)).toBe(700);
  await goToPlace(page, "Times");
  await page.getByRole("heading", { name: "Times" }).waitFor();
  expect(await main.evaluate((m) => m.scrollTop)).toBe(0);
});

it.each([1210, 1280, 1440])(
  "%i px wide, the ribbon explains each shape whole or not at all",
  async (width) => {
    const page = await window(width, 720);
    await goToPlace(page, "Measure");
    const key = page.locator(".ribbon-key");
    await key.waitFor();
    const cut = await key.evaluate((whole) => {
      const box = whole.getBoundingClientRect();
      return [...whole.children].filter((kind) => {
        const { top, left, right } = kind.getBoundingClientRect();
        return top < box.bottom - 1 && left < box.right && right > box.right + 0.5;
      }).length;
    });
    expect(cut).toBe(0);
  },
);
