import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { describe, expect, it } from "vitest";
import type { IcePoint, TrialMarks } from "../../src/study/types.ts";
import { onPage, PATIENCE_MS, untilExact, untilSaved } from "./measureWindow.ts";
import { CLIP, LAST, leaveScale, openMeasure, paintedClips, typeFrame } from "./paintedStudy.ts";

const SOON = { timeout: PATIENCE_MS };

const openClip = paintedClips();

type Place = readonly [xPx: number, yPx: number];

const apart = (a: Place, b: Place) => Math.hypot(a[0] - b[0], a[1] - b[1]);

async function drag(page: Page, a: Place, b: Place): Promise<void> {
  const from = await onPage(page, ...a);
  const to = await onPage(page, ...b);
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(to.x, to.y, { steps: 5 });
  await page.mouse.up();
}

const positionOnDisk = (folder: string): unknown =>
  JSON.parse(readFileSync(join(folder, "cache", "position.json"), "utf8"));

const marksOnDisk = (folder: string): TrialMarks =>
  JSON.parse(readFileSync(join(folder, "marks", "t1.json"), "utf8"));

describe("marking", () => {
  it("puts what the guide asks for where the pointer lets go, undoes it, and comes back to it when reopened", async () => {
    const { page, folder, open } = await openClip();
    await leaveScale(page);
    await typeFrame(page, "40");
    await untilExact(page, 40);
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { name: "Left blade, heel end" }).waitFor();

    // So short a way adjusts the one point.
    await drag(page, [318, 208], [320, 210]);
    await page.getByRole("heading", { name: "Left blade, toe end" }).waitFor();
    await untilSaved(page);
    await expect.poll(() => marksOnDisk(folder).marks.length, SOON).toBe(1);
    const [put] = marksOnDisk(folder).marks;
    expect(put).toMatchObject({ frame: 40, point: "blade_heel", side: "left" });
    expect(put?.time).toBeCloseTo(40 / CLIP.fps, 6);
    // The pointer moves by whole screen pixels, each under 0.8 of a picture pixel here.
    expect(Math.hypot((put?.xPx ?? 0) - 320, (put?.yPx ?? 0) - 210)).toBeLessThan(0.8);

    await page.keyboard.press("Alt+Shift+ArrowRight");
    await page.keyboard.press("Alt+ArrowUp");
    await expect.poll(() => marksOnDisk(folder).marks[0]?.xPx, SOON).toBeCloseTo((put?.xPx ?? 0) + 1, 6);
    await expect.poll(() => marksOnDisk(folder).marks[0]?.yPx, SOON).toBeCloseTo((put?.yPx ?? 0) - 0.1, 6);
    expect(marksOnDisk(folder).picture).toMatchObject({ clip: "clip-0", width: 640, height: 360 });

    await page.keyboard.press("Control+z");
    await page.keyboard.press("Control+z");
    await page.keyboard.press("Control+z");
    await page.getByRole("heading", { name: "Left blade, heel end" }).waitFor();
    await expect.poll(() => marksOnDisk(folder).marks.length, SOON).toBe(0);
    await page.keyboard.press("Control+Shift+z");
    await expect.poll(() => marksOnDisk(folder).marks.length, SOON).toBe(1);
    await expect.poll(() => positionOnDisk(folder), SOON).toMatchObject({ frame: 40 });

    // While it is open a second window would only look on.
    await page.close();
    const again = await open();
    await openMeasure(again);
    await untilExact(again, 40);
    await again.getByRole("button", { name: /left heel: marked/ }).waitFor();
  });

  it("puts a blade with one drag, moves it whole by its middle, turns it by its end; each is one step", async () => {
    const { page, folder } = await openClip();
    await leaveScale(page);
    await typeFrame(page, "40");
    await untilExact(page, 40);
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { name: "Left blade, heel end" }).waitFor();
    const ends = () =>
      (["blade_heel", "blade_toe"] as const).map((point) => {
        const at = marksOnDisk(folder).marks.find((m) => m.point === point);
        return at && ([at.xPx, at.yPx] as const);
      });
    // The pointer moves by whole screen pixels, each under 0.8 of a picture pixel here.
    const untilEnds = (heel: Place, toe: Place) =>
      expect
        .poll(() => {
          const [a, b] = ends();
          return a && b && Math.max(apart(a, heel), apart(b, toe)) < 1.6;
        }, SOON)
        .toBe(true);

    await drag(page, [300, 200], [340, 230]);
    await untilEnds([300, 200], [340, 230]);
    await page.keyboard.press("Control+z");
    await expect.poll(() => marksOnDisk(folder).marks.length, SOON).toBe(0);
    await page.keyboard.press("Control+Shift+z");
    await expect.poll(() => marksOnDisk(folder).marks.length, SOON).toBe(2);

    // Another point is asked for, so marks are taken hold of with Ctrl.
    await page.keyboard.down("Control");
    await drag(page, [320, 215], [325, 205]);
    await page.keyboard.up("Control");
    await untilEnds([305, 190], [345, 220]);
    await page.keyboard.down("Control");
    await drag(page, [345, 220], [350, 190]);
    await page.keyboard.up("Control");
    await untilEnds([305, 190], [350, 190]);
    await page.keyboard.press("Control+z");
    await untilEnds([305, 190], [345, 220]);
    await page.keyboard.press("Control+z");
    await untilEnds([300, 200], [340, 230]);
  });

  it("refuses a point beside the picture with a sentence and keeps what was there", async () => {
    const { page, folder } = await openClip();
    await leaveScale(page);
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { name: "Left blade, heel end" }).waitFor();
    const box = await page.locator("[data-testid=picture]").boundingBox();
    if (!box) throw new Error("there is no picture");
    const edge = await onPage(page, CLIP.width - 1, 180);
    // The empty border beside the picture.
    await page.mouse.click(edge.x + 12, edge.y);
    await page.getByText(/outside the picture, so nothing was marked/).waitFor();
    await untilSaved(page);
    expect(marksOnDisk(folder)).toMatchObject({ marks: [], events: [{ frame: 0 }] });
  });
});

describe("the scale", () => {
  it("comes from places typed and pressed, says its fit at once, and names the point that is out of place", async () => {
    const { page, folder } = await openClip();
    await page.getByRole("button", { name: "Own places" }).click();
    await page.getByLabel("from", { exact: true }).fill("3");
    await page.getByLabel("to", { exact: true }).fill("15");
    await page.getByLabel("every", { exact: true }).fill("6");
    await page.getByRole("button", { name: "List these pairs" }).click();
    for (const [x, y] of PAIRS) {
      await page.getByRole("heading", { name: `Ice point: ${nameOf(x, y)}` }).waitFor();
      const at = seenAt(x, y);
      const { x: px, y: py } = await onPage(page, at.xPx, at.yPx);
      await page.mouse.click(px, py);
    }
    const chip = page.getByRole("button", { name: /^Ice: 6 points, fit/ });
    // Six presses on whole screen pixels, under 0.8 of a picture pixel each: the fit cannot be worse than that.
    const fit = Number(/fit ([\d.]+) px/.exec((await chip.textContent()) ?? "")?.[1]);
    expect(fit).toBeLessThan(0.8);
    await expect.poll(() => pointsOnDisk(folder).length, SOON).toBe(6);
    for (const [i, [x, y]] of PAIRS.entries()) {
      const saved = pointsOnDisk(folder)[i];
      expect(saved).toMatchObject({ x, y, u: 0.01 });
      expect(
        Math.hypot((saved?.xPx ?? 0) - seenAt(x, y).xPx, (saved?.yPx ?? 0) - seenAt(x, y).yPx),
      ).toBeLessThan(0.8);
    }

    // Dragged 12 px off its place, the fourth point is named as the worst.
    const wrong = seenAt(9, -1.5);
    const from = await onPage(page, wrong.xPx, wrong.yPx);
    const to = await onPage(page, wrong.xPx + 12, wrong.yPx);
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(to.x, to.y, { steps: 4 });
    await page.mouse.up();
    await page
      .getByText(/9 m right is the worst|worst is 9 m right/)
      .first()
      .waitFor();
    await page.keyboard.press("Control+z");
    await chip.waitFor();
  });
});

describe("one tool at a time", () => {
  it("gives a press to what was asked for last, whatever was left on before", async () => {
    const { page, folder } = await openClip();
    await page.getByRole("button", { name: "Own places" }).click();
    await page.getByLabel("from", { exact: true }).fill("3");
    await page.getByLabel("to", { exact: true }).fill("15");
    await page.getByRole("button", { name: "List these pairs" }).click();
    const press = async (x: number, y: number) => {
      await page.getByRole("heading", { name: `Ice point: ${nameOf(x, y)}` }).waitFor();
      const at = seenAt(x, y);
      const { x: px, y: py } = await onPage(page, at.xPx, at.yPx);
      await page.mouse.click(px, py);
    };
    const mark = (x: number, y: number) =>
      page.getByRole("button", { name: `Mark ice point ${nameOf(x, y)}`, exact: true }).click();
    const labels = () => pointsOnDisk(folder).map((p) => p.label);
    for (const [x, y] of PAIRS.slice(0, 4)) await press(x, y);

    // A check of the first point is left on; then another point is to be marked.
    const check = page.getByRole("button", { name: "Check on the last frame that the camera stood still" });
    await check.click();
    await untilExact(page, LAST);
    await page.getByRole("heading", { name: `Once more: ${nameOf(3, 1.5)}` }).waitFor();
    await mark(15, 1.5);
    await press(15, 1.5);
    await expect.poll(labels, SOON).toEqual(PAIRS.slice(0, 5).map(([x, y]) => nameOf(x, y)));
    expect(marksOnDisk(folder).iceReference, "nothing was checked").not.toHaveProperty("rechecks");

    // The other way round: a point is asked for, then the check.
    await mark(15, -1.5);
    await check.click();
    const again = page.getByRole("heading", { name: `Once more: ${nameOf(3, 1.5)}` });
    await again.waitFor();
    const at = seenAt(3, 1.5);
    const { x: px, y: py } = await onPage(page, at.xPx, at.yPx);
    await page.mouse.click(px, py);
    await expect
      .poll(() => marksOnDisk(folder).iceReference, SOON)
      .toMatchObject({ rechecks: [{ frame: LAST, label: nameOf(3, 1.5) }] });
    expect(labels()).toHaveLength(5);

    // An event is being moved; the scale is opened in the midst of it.
    await page.getByRole("button", { name: "Scale is done: mark strides" }).click();
    await page.keyboard.press("Enter");
    await page.getByRole("button", { name: "Wrong frame?" }).click();
    await page.getByRole("button", { name: "move it", exact: true }).click();
    await page.getByRole("heading", { name: /^Move / }).waitFor();
    await page.getByRole("button", { name: /^Ice: 5 points/ }).click();
    await mark(15, -1.5);
    await press(15, -1.5);
    await expect.poll(labels, SOON).toEqual(PAIRS.map(([x, y]) => nameOf(x, y)));
  });
});

/** Places in the order the form lists them, metres. */
const PAIRS = [3, 9, 15].flatMap((x) => [[x, 1.5] as const, [x, -1.5] as const]);

/** As the form names them. */
const nameOf = (x: number, y: number) => `${x} m ${y > 0 ? "left" : "right"}`;

/** A camera at 20 m along the lane, 3 m up, looking back along it; focal length 300 px; closed-form pinhole. */
function seenAt(x: number, y: number): { xPx: number; yPx: number } {
  const depth = 20 - x;
  return {
    xPx: (CLIP.width - 1) / 2 + (300 * y) / depth,
    yPx: (CLIP.height - 1) / 2 - 100 + (300 * 3) / depth,
  };
}

function pointsOnDisk(folder: string): readonly IcePoint[] {
  const reference = marksOnDisk(folder).iceReference;
  return reference?.kind === "ice-points" ? reference.points : [];
}
