import { randomBytes } from "node:crypto";
import { mkdirSync, mkdtempSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { beforeAll, describe, expect, it, onTestFinished } from "vitest";
import type { Study } from "../../src/study/types.ts";
import { paintedClip } from "../helpers/paintedClip.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { PATIENCE_MS, pictureState, serveStudy, untilExact } from "./measureWindow.ts";
import {
  CLIP,
  CLIP_ARGS,
  LAST,
  openMeasure,
  openPage,
  paintedStudyFolder,
  typeFrame,
  untilReady,
} from "./paintedStudy.ts";
import { testBrowser } from "./testBrowser.ts";

const browser = testBrowser();
/**
 * The clip's bytes: on disk, the host would find it again beside a changed one. With an empty box of its own after it (ISO/IEC
 * 14496-12, 8.1.2), so that no other test's clip on this machine is the same.
 */
let painted: Buffer;
beforeAll(async () => {
  const folder = mkdtempSync(join(tmpdir(), "blademark-clip-file-"));
  const made = readFileSync(
    await paintedClip({ ...CLIP, file: join(folder, "painted.mp4"), args: CLIP_ARGS }),
  );
  const box = Buffer.from("\0\0\0\x18free", "latin1");
  painted = Buffer.concat([made, box, randomBytes(16)]);
  rmSync(folder, { recursive: true });
});

/** A study over a file of its own that nobody has prepared. */
async function openStudy() {
  const file = join(temporaryFolder(), "painted.mp4");
  writeFileSync(file, painted);
  const folder = paintedStudyFolder(file);
  const server = await serveStudy(folder);
  onTestFinished(() => server.close());
  const open = () => openPage(browser, server.url);
  return { page: await open(), folder, file, open };
}

const studyOnDisk = (folder: string): Study => JSON.parse(readFileSync(join(folder, "study.json"), "utf8"));

describe("leaving and coming back", () => {
  it("remembers the frame one left in the same moment", async () => {
    const { page, open } = await openStudy();
    await openMeasure(page);
    await untilReady(page);
    await typeFrame(page, 150);
    await page.keyboard.press("ArrowRight");
    await page.goto("about:blank");
    const again = await open();
    await untilExact(again, 151);
  });
});

describe("the clip's file", () => {
  it("is found at another place and kept there", async () => {
    const { page, folder, file, open } = await openStudy();
    await openMeasure(page);
    await untilReady(page);
    await page.close();
    mkdirSync(join(folder, "clips"), { recursive: true });
    renameSync(file, join(folder, "clips", "from the phone.mp4"));
    const again = await open();
    await again.getByRole("button", { name: "Keep the new place" }).click();
    await expect
      .poll(() => studyOnDisk(folder).clips[0]?.path, { timeout: PATIENCE_MS })
      .toBe("clips/from the phone.mp4");
    await again.getByRole("button", { name: "Keep the new place" }).waitFor({ state: "detached" });
  });

  it("is not used when it has changed, until a person says so", async () => {
    const { page, folder, file, open } = await openStudy();
    await openMeasure(page);
    await untilReady(page);
    await page.close();
    const before = studyOnDisk(folder).clips[0]?.sha256;
    await paintedClip({ ...CLIP, file, from: 1000, args: CLIP_ARGS });
    const again = await open();
    await again.getByRole("button", { name: /^Use this file/ }).click();
    await again.getByRole("button", { name: "It shows the same, use it" }).click();
    await again.getByText(`to ${LAST}`, { exact: true }).waitFor({ timeout: PATIENCE_MS });
    await typeFrame(again, 7);
    await untilExact(again, 7);
    expect((await pictureState(again)).painted).toBe(1007);
    await expect.poll(() => studyOnDisk(folder).clips[0]?.sha256, { timeout: PATIENCE_MS }).not.toBe(before);
  });
});

describe("the part of a clip that matters", () => {
  it("is chosen, prepared, stepped in with the whole clip's numbers, and taken away", async () => {
    const { page, folder } = await openStudy();
    await openMeasure(page);
    await untilReady(page);
    await page.getByRole("button", { name: "whole clip", exact: true }).click();
    await page.getByLabel("First frame").fill("100");
    await page.getByLabel("Last frame").fill("140");
    await page.getByRole("button", { name: "Keep this part" }).click();
    await page.getByLabel("First frame").waitFor({ state: "detached" });
    await page.getByText("to 140", { exact: true }).waitFor();
    await untilExact(page, 100);
    expect((await pictureState(page)).painted).toBe(100);
    await page.keyboard.press("ArrowLeft");
    await page.keyboard.press("End");
    await untilExact(page, 140);
    expect((await pictureState(page)).painted).toBe(140);
    await expect
      .poll(() => studyOnDisk(folder).clips[0]?.part, { timeout: PATIENCE_MS })
      .toEqual({ first: 100, last: 140 });
    await page.getByRole("button", { name: "part: 100 to 140" }).click();
    await page.getByRole("button", { name: "Whole clip", exact: true }).last().click();
    await page.getByLabel("First frame").waitFor({ state: "detached" });
    await untilReady(page);
    await page.keyboard.press("Home");
    await untilExact(page, 0);
  });
});
