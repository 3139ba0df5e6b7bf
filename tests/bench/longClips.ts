import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, renameSync, rmSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { FFMPEG } from "../helpers/paintedClip.ts";
import { benchHost } from "./benchHost.ts";
import { benchBrowser, openMeasure, untilShown } from "./benchWindow.ts";
import { megabytes, type Row } from "./table.ts";

const [WIDTH, HEIGHT, FPS] = [1920, 1080, 60];
/** What a phone writes at 1080p60, a key frame a second. */
const RATE = ["-b:v", "8M", "-maxrate", "8M", "-bufsize", "16M", "-g", "60", "-bf", "2"];
const LOOPED_SECONDS = 10;
/** Where the part begins, of what the film lasts, and how long it is, seconds. */
const PART = { at: 0.7, lasts: 6 };
/** A hand that drags over pictures it has just seen is not quicker. */
const CHOOSING_MS = 2500;

/** Long films, from the file being chosen to pictures of it, and from the part being said to its first frame. */
export async function longRows(root: string): Promise<Row[]> {
  const browser = await benchBrowser();
  const rows: Row[] = [];
  try {
    for (const minutes of [3, 20]) {
      const film = longFilm(join(root, "dist/bench/clips"), minutes);
      const host = await benchHost(root, null);
      const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
      await openMeasure(page, host.url, { ...{ width: WIDTH, height: HEIGHT, fps: FPS }, ...NOT_PAINTED });
      rows.push(...(await filmRows(page, film, minutes)));
      rows.push({ clip: `${minutes} min`, what: "study on disk", value: megabytes(host.diskBytes()) });
      await page.close();
      await host.close();
    }
  } finally {
    await browser.close();
  }
  return rows;
}

const NOT_PAINTED = { name: "1080p60", frames: 0, gop: 60 } as const;

async function filmRows(page: Page, film: string, minutes: number): Promise<Row[]> {
  const clip = `${minutes} min`;
  await page.locator("input[type=file]").first().setInputFiles(film);
  const pictures = (all: boolean) =>
    page.waitForFunction(
      (all) => {
        const cells = [...document.querySelectorAll(".part-strip .part-cell")];
        const there = cells.filter((c) => c.querySelector("img")?.complete || !c.hasAttribute("data-waits"));
        return cells.length > 0 && there.length >= (all ? cells.length : 1) && performance.now();
      },
      all,
      { timeout: 300_000 },
    );
  const [first, last] = [await pictures(false), await pictures(true)];
  const copied = await page.evaluate(() => {
    const files = performance.getEntriesByType("resource") as PerformanceResourceTiming[];
    return files.find((f) => f.name.includes("/api/clips?name="))?.responseEnd ?? Number.NaN;
  });
  const since = async (handle: typeof first) => ((await handle.jsonValue()) as number) - copied;
  const [one, all] = [await since(first), await since(last)];
  await page.waitForTimeout(CHOOSING_MS);
  const from = Math.round(minutes * 60 * PART.at);
  await page.getByLabel("From", { exact: true }).fill(`${from} s`);
  await page.getByLabel("To", { exact: true }).fill(`${from + PART.lasts} s`);
  await page.keyboard.press("Tab");
  const begun = performance.now();
  await page.getByRole("button", { name: "Use this part" }).click();
  await untilShown(page);
  const shown = performance.now() - begun;
  const frame = await page.locator("[data-testid=picture]").getAttribute("data-shown-frame");
  if (Number(frame) !== from * FPS) throw new Error(`frame ${frame} is shown instead of ${from * FPS}`);
  const row = (what: string, ms: number): Row => ({
    ...{ clip, what, value: `${ms.toFixed(0)} ms`, limit: "under 2000 ms", met: ms < 2000 },
  });
  return [
    row("added, to the strip's first picture", one),
    row("... to all of its pictures", all),
    row("part of 6 s said, to its first frame", shown),
  ];
}

/** A short clip end to end, so often; made once. */
function longFilm(folder: string, minutes: number): string {
  const file = join(folder, `long-${minutes}min.mp4`);
  if (existsSync(file)) return file;
  mkdirSync(folder, { recursive: true });
  const short = join(folder, "long-looped.mp4");
  const ffmpeg = (...args: string[]) => execFileSync(FFMPEG, ["-v", "error", "-y", ...args]);
  const source = `testsrc2=size=${WIDTH}x${HEIGHT}:rate=${FPS},noise=alls=6:allf=t`;
  ffmpeg(
    ...["-f", "lavfi", "-i", source, "-t", String(LOOPED_SECONDS), "-c:v", "libx264", "-preset", "ultrafast"],
    ...["-pix_fmt", "yuv420p", ...RATE, short],
  );
  const part = `${file}.part.mp4`;
  const times = (minutes * 60) / LOOPED_SECONDS - 1;
  ffmpeg("-stream_loop", String(times), "-i", short, "-c", "copy", part);
  renameSync(part, file);
  rmSync(short);
  return file;
}
