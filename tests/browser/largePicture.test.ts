import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it, onTestFinished } from "vitest";
import type { TrialMarks } from "../../src/study/types.ts";
import { paintedClip } from "../helpers/paintedClip.ts";
import { STUDY, temporaryFolder } from "../helpers/studyFolder.ts";
import { onPage, PATIENCE_MS, pictureState, serveStudy, untilExact } from "./measureWindow.ts";
import { leaveScale, openMeasure, paintedStudyFolder } from "./paintedStudy.ts";
import { testBrowser } from "./testBrowser.ts";

const browser = testBrowser();

/** Runs in the page before the app: pictures in all their pixels are kept back until `release`. */
function holdWhole(): void {
  const held: (() => void)[] = [];
  let holding = false;
  const Native = window.Worker;
  window.Worker = class extends Native {
    override set onmessage(hear: (event: MessageEvent) => void) {
      super.onmessage = (event) => {
        const give = () => hear.call(this, event);
        if (holding && event.data.whole) held.push(give);
        else give();
      };
    }
  };
  Object.assign(window, {
    holdWhole: (hold: boolean) => {
      holding = hold;
      if (!hold) for (const give of held.splice(0)) give();
    },
  });
}

it("a large picture comes in fewer pixels first: the right frame in the right place, but nothing is put on it until all are there", async () => {
  const folder = temporaryFolder();
  const large = { frames: 60, width: 1920, height: 1080, fps: 60 };
  const file = await paintedClip({ ...large, file: join(folder, "large.mp4") });
  const study = paintedStudyFolder(file);
  const server = await serveStudy(study);
  onTestFinished(() => server.close());
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  onTestFinished(() => page.close());
  await page.addInitScript(holdWhole);
  await page.goto(server.url);
  await openMeasure(page);
  await page.getByText("to 59", { exact: true }).waitFor({ timeout: PATIENCE_MS });
  await leaveScale(page);
  const hold = (on: boolean) =>
    page.evaluate((h) => (window as unknown as { holdWhole(on: boolean): void }).holdWhole(h), on);
  await untilExact(page, 0);
  // From frame 0 the ring of 30 reaches nowhere near it, and nothing tells that it comes: a number that is typed would, and
  // the frame might be on its way in all its pixels before it is asked for.
  await hold(true);
  await page.keyboard.press("End");
  await page.waitForSelector('[data-testid=picture][data-shown-frame="59"]:not([data-whole-frame])');
  // Read at the places where the whole picture has its squares.
  expect(await pictureState(page)).toEqual({ wanted: 59, shown: 59, painted: 59 });
  await page.keyboard.press("Enter");
  await page.getByRole("heading", { name: "Left blade, heel end" }).waitFor();
  const { x, y } = await onPage(page, 1400, 300);
  await page.mouse.click(x, y);
  await page
    .getByText(/is not on the screen yet/)
    .first()
    .waitFor();
  await hold(false);
  await untilExact(page, 59);
  expect(await pictureState(page)).toEqual({ wanted: 59, shown: 59, painted: 59 });
  await page.mouse.click(x, y);
  await page.getByRole("heading", { name: "Left blade, toe end" }).waitFor();
  const marks = (): TrialMarks["marks"] =>
    JSON.parse(readFileSync(join(study, "marks", `${STUDY.trials[0]?.id}.json`), "utf8")).marks;
  await expect
    .poll(() => existsSync(join(study, "marks")) && marks().length, { timeout: PATIENCE_MS })
    .toBe(1);
  // A press on a whole screen pixel, under two of the picture's.
  expect(Math.hypot(marks()[0]!.xPx - 1400, marks()[0]!.yPx - 300)).toBeLessThan(2);
});
