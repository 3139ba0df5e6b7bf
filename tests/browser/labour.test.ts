import type { Page } from "playwright";
import { describe, expect, it } from "vitest";
import { openDemo, scaleOnly } from "./demoTrial.ts";
import { PATIENCE_MS } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { marksOnDisk, TRUTH } from "./wholeJobWindow.ts";
import { goBy, type Labour, placeIn, work } from "./worker.ts";

const SOON = { timeout: PATIENCE_MS };
/** Six pushes of the clip nobody has marked. */
const STRIDES = [3, 4, 5, 6, 7, 8];

const browser = testBrowser();

/**
 * Presses and keys a stride, by the same worker. Before: one press a point, both blades at each blade-off, hips on every
 * frame, arms picked one by one and asked four questions a stride; blades and hips, and arms, were two rounds.
 */
const BEFORE = {
  width: { presses: 6, keys: 2.7 },
  everything: { presses: 24, keys: 13.1 },
};
const WANTED = {
  width: { presses: 4, keys: 3 },
  everything: { presses: 12, keys: 8 },
};

describe("the labour of marking, nothing suggested in the picture", () => {
  it.each(["width", "everything"] as const)("is what was wanted for %s", async (depth) => {
    const { page, folder } = await openDemo(browser, scaleOnly());
    await choose(page, depth === "width" ? "Width and touchdown" : "Everything");
    await goBy(page, (name) => page.keyboard.press(name), FIRST_OFF.frame);
    const done = await work(page, STRIDES);
    const a = (n: number) => n / STRIDES.length;
    const labour: Labour = { presses: a(done.presses), keys: a(done.keys) };
    const row = ({ presses, keys }: Labour) => `${presses.toFixed(1)} presses + ${keys.toFixed(1)} keys`;
    console.log(
      `a stride, ${depth}: before ${row(BEFORE[depth])}; now ${row(labour)}; at most ${row(WANTED[depth])}`,
    );
    expect(labour.presses).toBeLessThanOrEqual(WANTED[depth].presses);
    expect(labour.keys).toBeLessThanOrEqual(WANTED[depth].keys);

    // Nothing was left out for it: every event is there, and every mark lies where the world has that point.
    const wanted = TRUTH.events.filter(
      (e) => STRIDES.includes(e.stride) && (depth === "everything" || /^blade/.test(e.event)),
    );
    const points = (event: string) =>
      event.startsWith("blade") ? ["blade_heel", "blade_toe"] : ["shoulder", "elbow", "wrist"];
    const marked = () => marksOnDisk(folder).marks.map((m) => `${m.frame} ${m.point} ${m.side}`);
    await expect
      .poll(marked, SOON)
      .toEqual(
        expect.arrayContaining(
          wanted
            .filter((w) => w.event !== "recovery_min")
            .flatMap(({ event, side, frame }) => points(event).map((point) => `${frame} ${point} ${side}`)),
        ),
      );
    // Nearest the midline is placed by itself: one a recovery. The last one is what was put last, and is written last.
    const nearest = (all: readonly { event: string; side: string }[], side: string) =>
      all.filter((e) => e.event === "recovery_min" && e.side === side).length;
    for (const side of ["left", "right"])
      await expect
        .poll(() => nearest(marksOnDisk(folder).events, side), { ...SOON, message: side })
        .toBeGreaterThanOrEqual(nearest(wanted, side));
    const { events, marks } = marksOnDisk(folder);
    const name = (e: { event: string; side: string; frame: number }) => `${e.event} ${e.side} ${e.frame}`;
    for (const e of wanted.filter((w) => w.event !== "recovery_min"))
      expect(events.map(name)).toContain(name(e));
    for (const mark of marks) {
      const { xPx, yPx } = placeIn(mark.frame, mark.side, mark.point);
      // Half a pixel of the screen each way, at 0.5 and more of them a picture pixel.
      expect(Math.hypot(mark.xPx - xPx, mark.yPx - yPx), JSON.stringify(mark)).toBeLessThan(1.45);
    }
  });
});

const FIRST_OFF = TRUTH.events.find((e) => e.event === "blade_off" && e.stride === STRIDES[0])!;

async function choose(page: Page, name: string): Promise<void> {
  await page.getByRole("combobox", { name: "What to mark" }).click();
  await page.getByRole("option", { name }).click();
  await page.getByTestId("picture").focus();
}
