import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { BrowserContext, Page } from "playwright";
import { describe, expect, it, onTestFinished } from "vitest";
import { violations } from "./axe.ts";
import { type HostProcess, hostProcess, npmStart, occupy, quietPort } from "./hostProcess.ts";
import { PATIENCE_MS } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { goToPlace, studyOnDisk, timesOfDemo } from "./wholeJobWindow.ts";

const SOON = { timeout: PATIENCE_MS, interval: 50 };

const browser = testBrowser();

/** A study, its program, and one person's browser, whose storage outlives windows and programs. */
async function atWork() {
  const folder = timesOfDemo();
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

  it("is not written by a window of the run before, which says so and offers it once the new address is opened there", async () => {
    const { folder, context, start, host } = await atWork();
    const old = await open(context, host);
    await host.kill();
    await ask(old, "in the old window");
    await old.getByText("Not saved:").waitFor();
    const again = await start();
    await old.getByText(/started again since this window was opened/).waitFor();
    expect(studyOnDisk(folder).question).not.toBe("in the old window");
    old.on("dialog", (dialog) => void dialog.accept());
    await old.goto(again.url);
    await press(old, "Put it back");
    await expect.poll(() => studyOnDisk(folder).question, SOON).toBe("in the old window");
  });
});

/** The port of an address. */
const portOf = ({ url }: HostProcess) => Number(new URL(url).port);

/** Where the program believes that windows of the study have been. */
const portsOnDisk = (folder: string): unknown =>
  JSON.parse(readFileSync(join(folder, "cache/ports.json"), "utf8")).ports;

/** A person's study and browser, the program started by `npm start`. */
async function atHome() {
  const folder = timesOfDemo();
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
  onTestFinished(() => context.close());
  return { folder, context, start: () => npmStart(folder) };
}

describe("what was not saved, whatever port there is", () => {
  it("is offered after npm start while another study has the port everybody had before", async () => {
    // The first study is open all evening; the second one's program ends.
    const others = timesOfDemo();
    await npmStart(others);
    const { folder, context, start } = await atHome();
    const host = await start();
    const first = await open(context, host);
    await host.kill();
    await ask(first, "typed after");
    await first.getByText(`offers it when the study is opened again at 127.0.0.1:${portOf(host)}`).waitFor();
    await first.close({ runBeforeUnload: false });

    const again = await start();
    expect(portOf(again)).toBe(portOf(host));
    const page = await open(context, again);
    await press(page, "Put it back");
    await expect.poll(() => studyOnDisk(folder).question, SOON).toBe("typed after");
    expect(await page.getByText(/was (also )?open at 127/).count(), "there is no other address").toBe(0);
  });

  it("is told of while another program has the study's port, and offered once that has ended", async () => {
    const { folder, context, start } = await atHome();
    const host = await start();
    const home = portOf(host);
    const first = await open(context, host);
    await host.kill();
    await ask(first, "left at home");
    await first.getByText("Not saved:").waitFor();
    await first.close({ runBeforeUnload: false });

    const letGo = await occupy(home);
    const away = await start();
    expect(portOf(away)).not.toBe(home);
    const abroad = await open(context, away);
    await abroad.getByText(`open at 127.0.0.1:${home} before, an address that another program has`).waitFor();
    expect(await offer(abroad).count()).toBe(0);
    const time = abroad.getByRole("textbox", { name: "Time of Bea, close recovery, trial 2, seconds" });
    await goToPlace(abroad, "Times");
    await time.waitFor();
    await away.kill();
    await time.fill("4.90");
    await time.press("Tab");
    await abroad.getByText(`opened again at 127.0.0.1:${portOf(away)}`).waitFor();
    await abroad.close({ runBeforeUnload: false });

    await letGo();
    const back = await start();
    expect(portOf(back), "home again").toBe(home);
    const page = await open(context, back);
    await press(page, "Put it back");
    await expect.poll(() => studyOnDisk(folder).question, SOON).toBe("left at home");
    const there = `http://127.0.0.1:${portOf(away)}${new URL(page.url()).pathname}`;
    await page.getByText(`put ${there} into this window's address line: it is offered there`).waitFor();
    await page.goto(there);
    await press(page, "Put it back");
    await expect
      .poll(() => studyOnDisk(folder).trials.find((t) => t.id === "bea-close-2")?.time, SOON)
      .toBe(4.9);
    await expect.poll(() => kept(page), SOON).toBe(0);
    await page.locator("[data-testid=saved]", { hasText: /Saved/ }).waitFor();
    // As a person leaves it.
    await page.goto("about:blank");
    await expect.poll(() => portsOnDisk(folder), SOON).toEqual([home]);

    await back.kill();
    const last = await open(context, await start());
    expect(await last.getByText(/was (also )?open at 127/).count(), "nothing is left elsewhere").toBe(0);
    expect(await offer(last).count()).toBe(0);
  });

  it("is offered in an old window that is still open at another address, once it is opened anew", async () => {
    const { folder, context, start } = await atHome();
    const host = await start();
    const old = await open(context, host);
    await host.kill();
    await ask(old, "in the old window");
    await old.getByText("Not saved:").waitFor();
    // A port of one's own choice, and the old one still answers.
    const again = await hostProcess(folder, await quietPort());
    const page = await open(context, again);
    await old.getByText(/started again since this window was opened/).waitFor();
    // While the new window is there the old one only looks on; it is offered what it left once that has gone.
    old.on("dialog", (dialog) => void dialog.accept());
    const there = `${new URL(old.url()).origin}${new URL(page.url()).pathname}`;
    await page.getByText(`put ${there} into this window's address line`).waitFor();
    await old.goto(there);
    await old
      .getByText("This study is open in another window, so it is open here for reading only.")
      .waitFor();
    expect(await offer(old).count()).toBe(0);
    await page.close();
    await press(old, "Put it back");
    await expect.poll(() => studyOnDisk(folder).question, SOON).toBe("in the old window");
  });
});
