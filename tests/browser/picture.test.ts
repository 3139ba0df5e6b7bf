import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { TrialMarks } from "../../src/study/types.ts";
import { onPage, PATIENCE_MS, pictureState, untilExact, untilSaved } from "./measureWindow.ts";
import { CLIP, LAST, leaveScale, paintedClips, typeFrame } from "./paintedStudy.ts";

const SOON = { timeout: PATIENCE_MS };

const openClip = paintedClips();

const marksOnDisk = (folder: string): TrialMarks =>
  JSON.parse(readFileSync(join(folder, "marks", "t1.json"), "utf8"));

describe("the picture", () => {
  it("holds exactly the frame it says, whichever way one gets there", async () => {
    const { page } = await openClip();
    const ways: readonly (readonly [frame: number, go: () => Promise<void>])[] = [
      [1, () => page.keyboard.press("ArrowRight")],
      [2, () => page.keyboard.press("ArrowRight")],
      [1, () => page.keyboard.press("ArrowLeft")],
      [11, () => page.keyboard.press("Shift+ArrowRight")],
      [LAST, () => page.keyboard.press("End")],
      [LAST - 1, () => page.keyboard.press("ArrowLeft")],
      [LAST - 11, () => page.keyboard.press("Shift+ArrowLeft")],
      [137, () => typeFrame(page, "137")],
      [61, () => typeFrame(page, "61")],
      [LAST, () => typeFrame(page, "999999")],
      [0, () => page.keyboard.press("Home")],
      [0, () => page.keyboard.press("ArrowLeft")],
    ];
    for (const [frame, go] of ways) {
      await go();
      await untilExact(page, frame);
      expect(await pictureState(page)).toEqual({ wanted: frame, shown: frame, painted: frame });
    }
    // What is no frame moves nothing and says so, until the next step.
    await typeFrame(page, "12.7");
    const refused = page.getByRole("alert").filter({ hasText: "“12.7” is no frame" });
    await refused.waitFor();
    await untilExact(page, 0);
    await page.keyboard.press("End");
    await untilExact(page, LAST);
    await refused.waitFor({ state: "detached" });
  });

  it("never holds another frame than it says while a key is held or the ribbon is dragged", async () => {
    const { page } = await openClip();
    const seen = new Set<number>();
    const look = async () => {
      const { shown, painted } = await pictureState(page);
      expect(painted).toBe(shown);
      seen.add(shown);
    };
    await page.keyboard.down("ArrowRight");
    while (Math.max(0, ...seen) < 40) await look();
    await page.keyboard.up("ArrowRight");
    const stopped = (await pictureState(page)).wanted;
    await untilExact(page, stopped);
    await look();
    const ribbon = await page.getByRole("slider", { name: /ribbon/i }).boundingBox();
    if (!ribbon) throw new Error("there is no ribbon");
    const y = ribbon.y + 60;
    await page.mouse.move(ribbon.x + ribbon.width * 0.9, y);
    await page.mouse.down();
    for (let share = 0.9; share > 0.2; share -= 0.02) {
      await page.mouse.move(ribbon.x + ribbon.width * share, y);
      await look();
    }
    await page.mouse.up();
    await page.keyboard.press("Home");
    await untilExact(page, 0);
    await look();
    // Not one picture held all the time.
    expect(seen.size).toBeGreaterThan(20);
  });

  it("plays in the clip's own order and never holds another frame than it says; a press stops it and puts nothing", async () => {
    const { page, folder } = await openClip();
    await leaveScale(page);
    await typeFrame(page, "20");
    await untilExact(page, 20);
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { name: "Left blade, heel end" }).waitFor();
    await page.getByRole("button", { name: "Speed: 1 of life's; slower" }).click();
    await page.getByRole("button", { name: "Speed: ½ of life's; slower" }).click();
    await page.keyboard.press("p");
    await page.getByRole("heading", { name: "Playing" }).waitFor();
    const seen: number[] = [];
    while ((seen.at(-1) ?? 0) < 60) {
      const { shown, painted } = await pictureState(page);
      expect(painted).toBe(shown);
      seen.push(shown);
    }
    expect(seen).toEqual([...seen].sort((a, b) => a - b));
    expect(new Set(seen).size).toBeGreaterThan(5);

    const middle = await onPage(page, 320, 180);
    await page.mouse.click(middle.x, middle.y);
    await page.getByRole("heading", { name: "Playing" }).waitFor({ state: "detached" });
    const stopped = (await pictureState(page)).wanted;
    await untilExact(page, stopped);
    expect(marksOnDisk(folder).marks).toEqual([]);
    // Enter while it runs picks nothing either: nobody means the very frame that goes by.
    await page.keyboard.press("p");
    await page.getByRole("heading", { name: "Playing" }).waitFor();
    await page.keyboard.press("Enter");
    await page.getByRole("heading", { name: "Playing" }).waitFor({ state: "detached" });
    await untilSaved(page);
    expect(marksOnDisk(folder).events).toHaveLength(1);
  });

  it("plays one stride over and over, and the clip to its end", async () => {
    const { page } = await openClip();
    await leaveScale(page);
    const loop = page.getByRole("button", { name: "One stride over and over" });
    expect(await loop.isDisabled()).toBe(true);
    for (const frame of [40, 60]) {
      await typeFrame(page, String(frame));
      await untilExact(page, frame);
      if (frame === 60) {
        await page.getByRole("button", { name: "Something else?" }).click();
        await page.getByRole("button", { name: "blade-off", exact: true }).click();
        await page.getByRole("button", { name: "right", exact: true }).click();
      }
      await page.keyboard.press("Enter");
      await page.getByRole("heading", { name: /heel end$/ }).waitFor();
    }
    await page.keyboard.press("o");
    await expect.poll(() => loop.getAttribute("aria-pressed"), SOON).toBe("true");
    await page.keyboard.press("p");
    let [turns, before] = [0, 0];
    while (turns < 2) {
      const { shown } = await pictureState(page);
      expect(shown).toBeGreaterThanOrEqual(40);
      expect(shown).toBeLessThanOrEqual(60);
      if (shown < before) turns++;
      before = shown;
    }
    await page.keyboard.press("o");
    await page.getByRole("heading", { name: "Playing" }).waitFor({ state: "detached" });
    await page.keyboard.press("p");
    await untilExact(page, LAST);
    await page.getByRole("heading", { name: "Playing" }).waitFor({ state: "detached" });
  });

  it("says which frame it shows while another one loads, and takes no mark on it", async () => {
    const { page, folder } = await openClip();
    let give: () => void = () => undefined;
    const given = new Promise<void>((resolve) => {
      give = resolve;
    });
    await page.route("**/frames/150", async (route) => {
      await given;
      await route.continue();
    });
    await typeFrame(page, "150");
    const label = page.getByText(/Showing frame \d+ while 150 loads/);
    await label.waitFor();
    const { shown, painted } = await pictureState(page);
    expect(shown).not.toBe(150);
    expect(painted).toBe(shown);
    expect(await label.textContent()).toContain(`Showing frame ${shown} `);
    await leaveScale(page);
    expect(await page.getByRole("button", { name: "This is the frame" }).isDisabled()).toBe(true);
    await page.keyboard.press("Enter");
    await page
      .getByText(/is not on the screen yet/)
      .first()
      .waitFor();
    give();
    await untilExact(page, 150);
    expect((await pictureState(page)).painted).toBe(150);
    await expect.poll(() => label.count(), SOON).toBe(0);
    await page.getByRole("button", { name: "This is the frame" }).click();
    await untilSaved(page);
    expect(marksOnDisk(folder).events).toEqual([
      { event: "blade_off", side: "left", frame: 150, time: expect.closeTo(150 / CLIP.fps, 6) },
    ]);
  });
});
