import { once } from "node:events";
import { cpSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import { join } from "node:path";
import type { Page } from "playwright";
import { describe, expect, it, onTestFinished } from "vitest";
import { PLACE_NAMES } from "../../src/study/places.ts";
import { PATIENCE_MS, serveStudy } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { demoStudyWithoutClips, goToPlace, openWindow, studyOnDisk, timesOfDemo } from "./wholeJobWindow.ts";

const SOON = { timeout: PATIENCE_MS, interval: 50 };

const browser = testBrowser();

const question = (page: Page) => page.getByRole("region", { name: "Question" }).getByRole("textbox").first();
const readingOnly = (page: Page) => page.getByText("Reading only", { exact: true });

async function ask(page: Page, text: string): Promise<void> {
  await question(page).fill(text);
  await question(page).press("Tab");
}

describe("the window", () => {
  it("asks nothing of any other address, in any place, and breaks none of its own rules", async () => {
    const server = await serveStudy(demoStudyWithoutClips());
    onTestFinished(() => server.close());
    const { origin } = new URL(server.url);
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
    onTestFinished(() => context.close());
    const foreign: string[] = [];
    await context.route(
      (url) => url.origin !== origin && !["blob:", "data:"].includes(url.protocol),
      (route) => {
        foreign.push(route.request().url());
        return route.abort();
      },
    );
    const page = await context.newPage();
    const broken: string[] = [];
    page.on("pageerror", (error) => broken.push(error.message));
    page.on("console", (said) => {
      if (/content.security.policy/i.test(said.text())) broken.push(said.text());
    });
    await page.goto(server.url);
    expect(page.url(), "the key is gone from the address").toMatch(
      /^http:\/\/127\.0\.0\.1:\d+\/w\/[\w-]{32}\/$/,
    );
    for (const place of Object.values(PLACE_NAMES)) {
      await goToPlace(page, place);
      await page.waitForTimeout(700);
    }
    expect(foreign).toEqual([]);
    expect(broken).toEqual([]);

    // The policy holds: neither a script in the page nor one made of text runs.
    const ran = await page.evaluate(async () => {
      const script = document.createElement("script");
      script.textContent = "window.gotIn = true";
      document.body.append(script);
      const image = document.createElement("img");
      image.setAttribute("onerror", "window.gotIn = true");
      image.src = "/nothing.png";
      document.body.append(image);
      // As text, which is what eval is; the test's own call is exempt from the policy, a later one is not.
      (setTimeout as (code: unknown, ms: number) => void)("window.gotIn = true", 1);
      await new Promise((done) => setTimeout(done, 300));
      return "gotIn" in window;
    });
    expect(ran).toBe(false);
    expect(await page.evaluate(() => document.cookie), "no script can read the key").toBe("");
  });

  it("sends nothing of one study's key to whoever takes the port of another that has ended", async () => {
    const [one, other] = [
      await serveStudy(demoStudyWithoutClips()),
      await serveStudy(demoStudyWithoutClips()),
    ];
    onTestFinished(() => one.close());
    const context = await browser.newContext();
    onTestFinished(() => context.close());
    const [stays, left] = [await context.newPage(), await context.newPage()];
    await stays.goto(one.url);
    await left.goto(other.url);
    const there = new URL(left.url());
    await other.close();
    const got: string[] = [];
    const thief = createServer((request, answer) => {
      got.push(String(request.headers.cookie));
      answer.setHeader("content-type", "text/html").end("<!doctype html><title>taken</title>");
    });
    thief.listen(Number(there.port), "127.0.0.1");
    await once(thief, "listening");
    onTestFinished(() => void thief.closeAllConnections());
    onTestFinished(() => void thief.close());
    await left.reload();
    await left.goto(there.origin);
    await left.goto(`${there.origin}/w/`);
    await expect.poll(() => got.length).toBeGreaterThanOrEqual(3);
    const [, secret] = /key=([\w-]+)/.exec(one.url) ?? [];
    const own = await context.cookies(stays.url());
    expect(
      own.map((c) => c.value),
      "the window that stays has its key",
    ).toEqual([secret]);
    expect(got.join(), got.join()).not.toContain(secret);
    expect(got.join()).not.toContain(`blademark-${new URL(one.url).port}=`);
    expect(await stays.evaluate(async () => (await fetch("api/study")).status)).toBe(200);
  });

  it("is refused to a page that does not have the key, in words", async () => {
    const server = await serveStudy(timesOfDemo());
    onTestFinished(() => server.close());
    const context = await browser.newContext();
    onTestFinished(() => context.close());
    const page = await context.newPage();
    const answer = await page.goto(`${new URL(server.url).origin}/`);
    expect(answer?.status()).toBe(401);
    await page.getByText(/open the whole address it printed/).waitFor();
  });

  it("lets the second one look on, says so, and take over when asked", async () => {
    const folder = timesOfDemo();
    const server = await serveStudy(folder);
    onTestFinished(() => server.close());
    const first = await openWindow(browser, server.url);
    await goToPlace(first, "Plan");
    await ask(first, "Asked in the first window");
    const second = await openWindow(browser, server.url);
    await goToPlace(second, "Plan");
    await readingOnly(second).waitFor();
    await second.getByText(/open in another window/).waitFor();
    expect(await question(second).inputValue()).toBe("Asked in the first window");
    // Typed and not yet saved when the other takes over: nothing of it is lost.
    await first.bringToFront();
    await ask(first, "The last word of the first");
    await second.getByRole("button", { name: "Take over" }).click();
    await expect
      .poll(
        () =>
          question(second)
            .inputValue()
            .catch(() => ""),
        SOON,
      )
      .toBe("The last word of the first");
    await expect.poll(() => readingOnly(second).count(), SOON).toBe(0);
    await readingOnly(first).waitFor();
    await ask(second, "Asked in the second window");
    await expect.poll(() => studyOnDisk(folder).question, SOON).toBe("Asked in the second window");
    // And back, by closing the second.
    await second.close();
    await first.reload();
    await expect
      .poll(
        () =>
          question(first)
            .inputValue()
            .catch(() => ""),
        SOON,
      )
      .toBe("Asked in the second window");
    await expect.poll(() => readingOnly(first).count(), SOON).toBe(0);
  });

  it("can undo after a reload what was done before it", async () => {
    const folder = timesOfDemo();
    const server = await serveStudy(folder);
    onTestFinished(() => server.close());
    const page = await openWindow(browser, server.url);
    await goToPlace(page, "Plan");
    const before = await question(page).inputValue();
    await ask(page, "First thought");
    await ask(page, "Second thought");
    await page.reload();
    await goToPlace(page, "Plan");
    expect(await question(page).inputValue()).toBe("Second thought");
    await page.locator("body").press("Control+z");
    await expect.poll(() => question(page).inputValue(), SOON).toBe("First thought");
    await page.locator("body").press("Control+z");
    await expect.poll(() => question(page).inputValue(), SOON).toBe(before);
    await page.locator("body").press("Control+y");
    await expect.poll(() => studyOnDisk(folder).question, SOON).toBe("First thought");
  });

  it("asks which one to keep when another program changed a file, and does as told", async () => {
    const folder = timesOfDemo();
    const server = await serveStudy(folder);
    onTestFinished(() => server.close());
    const page = await openWindow(browser, server.url);
    await goToPlace(page, "Plan");
    for (const [button, expected] of [
      ["Keep this window's", "typed here"],
      ["Take the other one", "from the other machine"],
    ] as const) {
      const study = studyOnDisk(folder);
      writeFileSync(
        join(folder, "study.json"),
        JSON.stringify({ ...study, question: "from the other machine" }),
      );
      await ask(page, "typed here");
      await page.getByRole("button", { name: button }).click();
      await expect
        .poll(
          () =>
            question(page)
              .inputValue()
              .catch(() => ""),
          SOON,
        )
        .toBe(expected);
      await expect.poll(() => studyOnDisk(folder).question, SOON).toBe(expected);
      await ask(page, "and on");
      await expect.poll(() => studyOnDisk(folder).question, SOON).toBe("and on");
    }
  });

  it("keeps what is done while the folder is away, and saves it when it is back", async () => {
    const folder = timesOfDemo();
    const server = await serveStudy(folder);
    onTestFinished(() => server.close());
    const page = await openWindow(browser, server.url);
    await goToPlace(page, "Plan");
    await ask(page, "before");
    await expect.poll(() => studyOnDisk(folder).question, SOON).toBe("before");
    const away = `${folder} away`;
    cpSync(folder, away, { recursive: true, preserveTimestamps: true });
    rmSync(folder, { recursive: true });
    await ask(page, "while away");
    await page.getByText(/Was a drive unplugged/).waitFor();
    cpSync(away, folder, { recursive: true, preserveTimestamps: true });
    await expect.poll(() => studyOnDisk(folder).question, SOON).toBe("while away");
    await page.getByTestId("saved").getByText("Saved").waitFor();
  });
});
