import { existsSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { pathToFileURL } from "node:url";
import { expect, it, onTestFinished } from "vitest";
import { openBrowser } from "../../electron/openBrowser.ts";
import { startServer } from "../../electron/serve.ts";
import { studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { testBrowser } from "./testBrowser.ts";

const browser = testBrowser();

it("comes from the page it was given to the window, with the key as a cookie, and only once", async () => {
  const windowDir = temporaryFolder();
  writeFileSync(join(windowDir, "index.html"), "<!doctype html><title>Window</title><p>The window</p>");
  const server = await startServer({ study: studyFolder(), windowDir });
  onTestFinished(() => server.close());
  let given = "";
  await openBrowser(server, (page) => {
    given = page;
  });
  const context = await browser.newContext();
  onTestFinished(() => context.close());
  const page = await context.newPage();
  const asked: string[] = [];
  page.on("request", (request) => asked.push(request.url()));
  await page.goto(pathToFileURL(given).href);
  await page.getByText("The window").waitFor();
  const { origin } = new URL(server.url);
  expect(page.url()).toMatch(new RegExp(`^${origin}/w/[\\w-]{32}/$`));
  expect(await page.evaluate(async () => (await fetch("api/study")).status)).toBe(200);
  await expect.poll(() => existsSync(dirname(given))).toBe(false);
  // Loaded anew, and another window of the same browser: the cookie goes on.
  await page.reload();
  await page.getByText("The window").waitFor();
  // Whoever finds the address in the browser's history gets nothing for it.
  const keyed = asked.find((url) => url.includes("key=")) as string;
  const stranger = await (await browser.newContext()).newPage();
  expect((await stranger.goto(keyed))?.status()).toBe(401);
});
