import { expect, it } from "vitest";
import { openDemo, scaleOnly } from "./demoTrial.ts";
import { PATIENCE_MS, untilSaved } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { marksOnDisk, putPoint } from "./wholeJobWindow.ts";

const browser = testBrowser();

/** Along the top of the picture, bent as a wide lens bends it (5 px in the middle), and on the left, likewise. */
const TOP = [60, 300, 640, 980, 1220].map((x) => [x, 70 - 5 * (1 - ((x - 640) / 600) ** 2)] as const);
const LEFT = [60, 200, 360, 520, 660].map((y) => [80 - 2 * (1 - ((y - 360) / 320) ** 2), y] as const);

it("lines are pressed along what is straight; they say what they tell, are undone and kept", async () => {
  const { page, folder } = await openDemo(browser, scaleOnly());
  await page.getByRole("button", { name: /^Ice:/ }).click();
  const begin = page.getByRole("button", { name: "Press a straight line" });
  for (const line of [TOP, LEFT]) {
    await begin.click();
    for (const [x, y] of line) await putPoint(page, x, y);
    await page.keyboard.press("Enter");
    await begin.waitFor({ timeout: PATIENCE_MS });
  }
  const rows = page.locator(".straight-lines li");
  await expect.poll(() => rows.count(), { timeout: PATIENCE_MS }).toBe(2);
  expect(await rows.nth(0).textContent()).toMatch(
    /Line 1 \(frame \d+\): 5 points, bends [45]\.\d px, \d\.\d px off/,
  );
  await expect
    .poll(() => page.locator(".straight-lines p").textContent(), { timeout: PATIENCE_MS })
    .toMatch(/2 straight lines/);
  await untilSaved(page);
  expect(marksOnDisk(folder).straightLines?.map((l) => l.points.length)).toEqual([5, 5]);
  // One press is one step back; the line goes with its last point.
  await page.locator("body").press("Control+z");
  await expect.poll(() => rows.nth(1).textContent(), { timeout: PATIENCE_MS }).toMatch(/4 points/);
  await page.getByRole("button", { name: "Remove line 2" }).click();
  await expect.poll(() => rows.count(), { timeout: PATIENCE_MS }).toBe(1);
});
