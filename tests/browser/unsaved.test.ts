import type { Browser, BrowserContext, Page } from "playwright";
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from "vitest";
import { violations } from "./axe.ts";
import { type HostProcess, hostProcess, quietPort } from "./hostProcess.ts";
import { launchBrowser } from "./measureWindow.ts";
import { demoStudyWithoutClips, goToPlace, studyOnDisk } from "./wholeJobWindow.ts";

const SOON = { timeout: 30_000, interval: 50 };

let browser: Browser;
beforeAll(async () => {
  browser = await launchBrowser();
});
afterAll(() => browser.close());

/** A study, its program, and one person's browser, whose storage outlives windows and programs. */
async function atWork() {
  const folder = demoStudyWithoutClips();
  const port = await quietPort();
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
  onTestFinished(() => context.close());
  const start = () => hostProcess(folder, port);
  return { folder, context, start, host: await start() };
}

/** A window at Plan. */
async function open(context: BrowserContext, { url }: HostProcess): Promise<Page> {
  const page = await context.newPage();
  await page.goto(url);
  await goToPlace(page, "Plan");
  await question(page).waitFor();
  return page;
}

const question = (page: Page) => page.getByRole("region", { name: "Question" }).getByRole("textbox").first();
const offer = (page: Page) => page.getByRole("region", { name: "Not saved" });
const press = (page: Page, name: string) => offer(page).getByRole("button", { name, exact: true }).click();

async function ask(page: Page, text: string): Promise<void> {
  await question(page).fill(text);
  await question(page).press("Tab");
}

/** What the browser keeps of unsaved steps, as text. */
const kept = (page: Page) =>
  page.evaluate(() => Object.keys(localStorage).filter((key) => key.startsWith("blademark unsaved")).length);

describe("what was not saved when the program was killed", () => {
  it("is offered when the study is opened again, shown, put back, and then on the disk", async () => {
    const { folder, context, start, host } = await atWork();
    const first = await open(context, host);
    const time = first.getByRole("textbox", { name: "Time of Bea, close recovery, trial 2, seconds" });
    await goToPlace(first, "Times");
    await time.waitFor();
    await goToPlace(first, "Plan");
    await ask(first, "saved before");
    await expect.poll(() => studyOnDisk(folder).question, SOON).toBe("saved before");
    await expect.poll(() => kept(first), SOON).toBe(0);
    await host.kill();
    await ask(first, "typed after");
    await goToPlace(first, "Times");
    await time.fill("4.90");
    await time.press("Tab");
    await first.getByText("Not saved:").waitFor();
    await first.close({ runBeforeUnload: false });

    const page = await open(context, await start());
    await offer(page)
      .getByText(/2 changes, the last at \d\d:\d\d:\d\d, were not saved/)
      .waitFor();
    expect(await question(page).inputValue(), "nothing is done by itself").toBe("saved before");
    await press(page, "Look");
    expect(await offer(page).getByRole("listitem").allTextContents()).toEqual([
      "change the question (“typed after”)",
      "time 4.90: Bea, close recovery, trial 2",
    ]);
    expect(await violations(page)).toEqual([]);
    await press(page, "Put them back");
    await expect.poll(() => studyOnDisk(folder).question, SOON).toBe("typed after");
    await expect
      .poll(() => studyOnDisk(folder).trials.find((t) => t.id === "bea-close-2")?.time, SOON)
      .toBe(4.9);
    await expect.poll(() => kept(page), SOON).toBe(0);
    await page.reload();
    await goToPlace(page, "Plan");
    expect(await question(page).inputValue()).toBe("typed after");
    expect(await offer(page).count()).toBe(0);
  });

  it("is not done over what somebody else did since, and is kept until it is discarded for good", async () => {
    const { folder, context, start, host } = await atWork();
    const first = await open(context, host);
    await host.kill();
    await ask(first, "never saved");
    await first.getByText("Not saved:").waitFor();
    await first.close({ runBeforeUnload: false });

    const again = await start();
    const others = await browser.newContext();
    onTestFinished(() => others.close());
    const other = await open(others, again);
    expect(await offer(other).count(), "another browser knows nothing of it").toBe(0);
    await ask(other, "newer");
    await expect.poll(() => studyOnDisk(folder).question, SOON).toBe("newer");
    await other.close();

    for (const last of [false, true]) {
      const page = await open(context, again);
      await offer(page)
        .getByText(/not put back, because the same was changed since/)
        .waitFor();
      expect(await offer(page).getByRole("listitem").count()).toBe(1);
      expect(await offer(page).getByRole("button", { name: /Put/ }).count()).toBe(0);
      if (last) {
        await press(page, "Discard");
        await press(page, "Discard for good");
        await expect.poll(() => kept(page), SOON).toBe(0);
      }
      expect(await question(page).inputValue()).toBe("newer");
      await page.close();
    }
    expect(studyOnDisk(folder).question).toBe("newer");
  });

  it("is not offered, nor done twice, when it was on the disk and only the answer was lost", async () => {
    const { folder, context, start, host } = await atWork();
    const first = await open(context, host);
    // Steps arrive and are flushed; the window never hears of it, and sends no document.
    await first.route("**/api/steps", async (route) => {
      await route.fetch();
      await route.abort();
    });
    await first.route("**/api/study", (route) => route.abort());
    await ask(first, "heard once");
    await first.getByText("Not saved:").waitFor();
    await host.kill();
    await first.close({ runBeforeUnload: false });

    const page = await open(context, await start());
    expect(await question(page).inputValue()).toBe("heard once");
    await expect.poll(() => kept(page), SOON).toBe(0);
    expect(await offer(page).count()).toBe(0);
    expect(studyOnDisk(folder).question).toBe("heard once");
  });

  it("is not written by a window of the run before, which says so and offers it once it is reloaded", async () => {
    const { folder, context, start, host } = await atWork();
    const old = await open(context, host);
    await host.kill();
    await ask(old, "in the old window");
    await old.getByText("Not saved:").waitFor();
    const again = await start();
    // The new address gives the browser the new key, and so the old window too.
    const passing = await context.newPage();
    await passing.goto(again.url);
    await passing.close();
    await old.getByText(/started again since this window was opened/).waitFor();
    expect(studyOnDisk(folder).question).not.toBe("in the old window");
    old.on("dialog", (dialog) => void dialog.accept());
    await old.reload();
    await press(old, "Put it back");
    await expect.poll(() => studyOnDisk(folder).question, SOON).toBe("in the old window");
  });
});
