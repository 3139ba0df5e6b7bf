import type { Page } from "playwright";
import { LAST } from "./livingKeys.ts";

/** Something done with the pointer, or typed. */
export type Press = (page: Page, random: () => number) => Promise<void>;

const option = (page: Page) => page.locator("[role=listbox]:visible [role=option]").first();

/** What takes the focus in any window. */
export const PRESSES: readonly (readonly [name: string, press: Press])[] = [
  [
    "the ribbon",
    async (page, random) => {
      const box = await page.getByRole("slider", { name: /ribbon/i }).boundingBox();
      if (!box) throw new Error("there is no ribbon");
      await page.mouse.click(box.x + box.width * (0.2 + 0.7 * random()), box.y + box.height / 2);
    },
  ],
  ["an event on the ribbon", (page) => page.locator(".ribbon-event").first().click({ force: true })],
  ["a frame on", (page) => page.getByRole("button", { name: "One frame on" }).click()],
  ["zoom in", (page) => page.getByRole("button", { name: "Zoom in" }).click()],
  [
    "a frame typed",
    async (page, random) => {
      await page.getByTestId("frame-field").fill(String(Math.floor(LAST * random())));
      await page.keyboard.press("Enter");
    },
  ],
  [
    "a field left by Escape",
    async (page) => {
      await page.getByTestId("frame-field").click();
      await page.keyboard.press("Escape");
    },
  ],
  [
    "a list",
    async (page) => {
      await page.getByRole("combobox", { name: "What to mark" }).click();
      await option(page).click();
    },
  ],
  [
    "a list left as it is",
    async (page) => {
      await page.getByRole("combobox", { name: "What to mark" }).click();
      await option(page).waitFor();
      await page.keyboard.press("Escape");
    },
  ],
  [
    "the scale and back",
    async (page) => {
      await page.getByRole("button", { name: /^Ice: / }).click();
      await page.getByRole("button", { name: "Leave the scale for now" }).click();
    },
  ],
  [
    "a menu",
    async (page) => {
      await page.getByRole("button", { name: "More" }).click();
      await page.getByRole("menuitem").first().waitFor();
      await page.keyboard.press("Escape");
      await page.getByRole("menuitem").first().waitFor({ state: "detached" });
    },
  ],
  [
    "a small form",
    async (page) => {
      await page.getByRole("button", { name: /frames\/s/ }).click();
      await page.getByLabel(/speed factor/).click();
      await page.keyboard.press("Escape");
      await page.getByLabel(/speed factor/).waitFor({ state: "detached" });
    },
  ],
  [
    "a notice",
    async (page) => {
      await page.getByRole("button", { name: /frames\/s/ }).click();
      await page.getByLabel(/speed factor/).fill("nought");
      await page.keyboard.press("Enter");
      const close = page.locator(".messages").getByRole("button", { name: "Close" });
      await close.first().waitFor();
      await page.keyboard.press("Escape");
      await page.getByLabel(/speed factor/).waitFor({ state: "detached" });
      await close.first().click();
    },
  ],
  ["words", (page) => page.getByRole("heading", { name: "Stride ribbon" }).click()],
];
