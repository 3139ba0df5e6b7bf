import type { Page } from "playwright";
import { describe, expect, it } from "vitest";
import type { EventName, Mark, Side, TrialMarks } from "../../src/study/types.ts";
import { ALL } from "../faults/table.ts";
import { blademark } from "../helpers/commandLine.ts";
import { normal, seeded } from "../helpers/random.ts";
import { openDemo, scaleOnly } from "./demoTrial.ts";
import { PATIENCE_MS } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { marksOnDisk, TRIAL, TRUTH } from "./wholeJobWindow.ts";
import { scaleAndTaught, unmarked } from "./wholeTrial.ts";
import { type Labour, nearestEnough, placeIn } from "./worker.ts";

const EVENTS: readonly EventName[] = ["blade_off", "blade_on", "recovery_min"];
/** Two strides a side, where the skater is largest. */
const TAUGHT = [9, 10, 11, 12];
/** What an eye sees as beside the point under the magnifier, px of the picture: blades against ice, hips under cloth. */
const BESIDE = { blade: 2, hip: 4 };

/** Strides that are left to the sheet: of half the clip in `npm test`, which looks at each frame; all of it in `npm run faults`. */
const [FIRST_FRAME, STRIDES] = ALL ? [0, 8] : [132, 4];
/** Presses and keys for a trial of so many strides, its scale and the strides taught by hand included. */
const [WHOLE_TRIAL, MOST_ACTIONS] = [11, 90];

const browser = testBrowser();

describe("the stride sheet", () => {
  it("takes a trial from four strides marked by hand to all of it, with two presses and six keys a stride", async () => {
    const { page, folder } = await openDemo(browser, ALL ? unmarked() : taught(), "recovery", FIRST_FRAME);
    const byHand = ALL ? await scaleAndTaught(page, TAUGHT) : [];
    await page.getByRole("button", { name: /Look at suggestions/ }).waitFor();
    await page.getByTestId("picture").focus();
    await page.keyboard.press("u");
    const done = await confirmAll(page);
    const after = marksOnDisk(folder);
    const offs = after.events.filter((e) => e.event === "blade_off" && e.suggested);
    const strides = offs.length;
    const labour: Labour = { presses: done.presses / strides, keys: done.keys / strides };
    console.log(
      `${strides} strides confirmed; a stride ${labour.presses.toFixed(1)} presses + ${labour.keys.toFixed(1)} keys`,
    );
    if (ALL) {
      const sum = (all: readonly Labour[]) => all.reduce((n, l) => n + l.presses + l.keys, 0);
      // With the key that opens the sheet.
      const before = sum(byHand) + 1;
      const upTo = done.upTo[WHOLE_TRIAL - TAUGHT.length]!;
      console.log(
        `${byHand.map((l) => `${l.presses} + ${l.keys}`).join(", ")} for the scale and the strides taught; ${WHOLE_TRIAL} strides ${before + upTo}, all ${strides + TAUGHT.length} the clip shows any of ${before + sum([done])}; on the sheet ${done.upTo.join(" ")}`,
      );
      expect(before + upTo).toBeLessThanOrEqual(MOST_ACTIONS);
    }
    // Whole strides before those taught; of the first of all the clip has no more than its blade-off.
    expect(strides).toBeGreaterThanOrEqual(STRIDES);
    expect(labour.presses).toBeLessThanOrEqual(2);
    expect(labour.keys).toBeLessThanOrEqual(6);

    // Each event confirmed is one of the world's, in the very frame the eye would pick.
    for (const e of after.events.filter((k) => k.suggested && k.event !== "recovery_min")) {
      const frames = TRUTH.events.filter((t) => t.event === e.event && t.side === e.side).map((t) => t.frame);
      expect(frames, `${e.event} ${e.side}`).toContain(e.frame);
    }
    // Where it comes from: some taken, some marked before anything was shown.
    const blind = after.marks.filter((k) => k.suggested?.blind);
    const accepted = after.marks.filter((k) => k.from === "accepted");
    expect(blind.length).toBeGreaterThan(0);
    expect(blind.every((k) => k.from === "hand")).toBe(true);
    expect(accepted.length).toBeGreaterThan(5 * STRIDES);
    const blades = accepted.filter((k) => k.point !== "hip");
    const wrong = blades.filter((k) => away(k) > 3);
    expect(wrong.length / blades.length).toBeLessThanOrEqual(0.02);

    // Numbers: 95 of 100 within their ±, so of some forty values one in eight may not be.
    const { out } = await blademark("measure", folder, TRIAL, "--json");
    const { strides: measured } = JSON.parse(out) as { strides: MeasuredStride[] };
    const held = measured.flatMap((stride) => {
      const truth = TRUTH.strides.find(
        (t) => t.side === stride.side && Math.abs(timeOf(t.stride) - (stride.blade_off_s.value ?? -9)) < 0.05,
      );
      if (!truth) return [];
      return QUANTITIES.flatMap((q) => {
        const [is, was] = [stride[q], (truth as unknown as Record<string, { at_event: number } | null>)[q]];
        return is.value === null || !was ? [] : [Math.abs(is.value - was.at_event) <= is.u95];
      });
    });
    // Those taught are measured too.
    expect(held.length).toBeGreaterThan(2 * (STRIDES + TAUGHT.length));
    expect(held.filter(Boolean).length / held.length).toBeGreaterThanOrEqual(0.875);
  });
});

describe("while suggestions are looked for", () => {
  it("U goes back to the picture and looking goes on, until it is stopped there; the picture's own keys mean nothing", async () => {
    const { page, folder } = await openDemo(browser, taught(), "recovery", FIRST_FRAME);
    // A host that never comes to an end.
    await page.route("**/api/suggestions/*", () => undefined);
    const offer = page.getByRole("button", { name: /Look at suggestions/ });
    const stop = page.getByRole("button", { name: "Stop looking" });
    await offer.waitFor();
    await page.getByTestId("picture").focus();
    const asked = page.waitForRequest("**/api/suggestions/*");
    await page.keyboard.press("u");
    await page.getByRole("heading", { name: /Following the skater/ }).waitFor();
    const request = await asked;
    const before = marksOnDisk(folder);
    for (const key of ["Enter", "n", "Delete"]) await page.keyboard.press(key);
    await page.getByRole("heading", { name: /Following the skater/ }).waitFor();
    await page.keyboard.press("u");
    await page.getByTestId("picture").waitFor();
    // Whoever goes back has not stopped it.
    expect(request.failure()).toBeNull();
    await page.getByTestId("picture").focus();
    await page.keyboard.press("u");
    await stop.click();
    await offer.waitFor();
    await expect.poll(() => request.failure()).not.toBeNull();
    expect(marksOnDisk(folder)).toEqual(before);
  });
});

describe("an event that is not told", () => {
  it("is listed with its reason when nothing is left to confirm, one press from its frame", async () => {
    const { page } = await openDemo(browser, taught(), "recovery", FIRST_FRAME);
    const why =
      "Too few of the limbs are seen here as in the strides you marked. Pick the frame by hand about here.";
    // What the host answers where it tells no event at all.
    const text = JSON.stringify({
      ...{ format: "blademark.suggest", version: 1, trial: TRIAL, model: "0", events: [], points: [] },
      taught: { left: 2, right: 2 },
      refused: [
        { what: "events", event: "blade_off", side: "left", frame: 178, why },
        { what: "events", event: "blade_on", side: "right", frame: 175, why },
      ],
    });
    await page.route("**/api/suggestions/*", (route) =>
      route.fulfill({ body: `${JSON.stringify({ kind: "suggested", text })}\n` }),
    );
    await page.getByRole("button", { name: /Look at suggestions/ }).waitFor();
    await page.getByTestId("picture").focus();
    await page.keyboard.press("u");
    await page.getByRole("heading", { name: "Not told: pick these frames by hand" }).waitFor();
    expect(await page.getByText(why).count()).toBe(1);
    await page.getByRole("button", { name: "Left blade-off, about frame 178" }).click();
    await expect.poll(() => page.getByTestId("picture").getAttribute("data-wanted-frame")).toBe("178");
  });
});

const QUANTITIES = ["stride_width_m", "recovery_to_midline_m", "touchdown_to_track_midline_m"] as const;
type Value = { readonly value: number | null; readonly u95: number };
type MeasuredStride = { readonly side: Side; readonly blade_off_s: Value } & Record<
  (typeof QUANTITIES)[number],
  Value
>;

function timeOf(stride: number): number {
  return TRUTH.events.find((e) => e.event === "blade_off" && e.stride === stride)!.frame_clip_s;
}

function away({ frame, side, point, xPx, yPx }: Mark): number {
  const is = placeIn(frame, side, point);
  return Math.hypot(xPx - is.xPx, yPx - is.yPx);
}

/** Four strides as a careful hand marks them: 0.7 px off, each way. */
function taught(): TrialMarks {
  const random = seeded(11);
  const events = TRUTH.events.filter(
    (e) => TAUGHT.includes(e.stride) && EVENTS.includes(e.event as EventName),
  );
  const marks = events.flatMap(({ side, frame, frame_clip_s }) =>
    (["blade_heel", "blade_toe", "hip"] as const).flatMap((point) =>
      (point === "hip" ? (["left", "right"] as const) : [side]).map((s) => {
        const { xPx, yPx } = placeIn(frame, s, point);
        return {
          ...{ frame, time: frame_clip_s, point, side: s },
          xPx: xPx + 0.7 * normal(random),
          yPx: yPx + 0.7 * normal(random),
        };
      }),
    ),
  );
  const once = marks.filter(
    (m, i) => marks.findIndex((o) => o.frame === m.frame && o.point === m.point && o.side === m.side) === i,
  );
  return {
    ...scaleOnly(),
    events: events.map(({ event, side, frame, frame_clip_s }) => ({
      ...{ event: event as EventName, side, frame, time: frame_clip_s },
    })),
    marks: once,
  };
}

interface Row {
  /** Which row it is, whatever frame is picked. */
  readonly name: string;
  readonly words: string;
  readonly frames: readonly number[];
  readonly picked: number;
}

/** Somebody who knows what each frame shows and where everything is, and moves what an eye would see beside the point. */
async function confirmAll(page: Page): Promise<Labour & { readonly upTo: readonly number[] }> {
  let [presses, keys] = [0, 0];
  /** Presses and keys before each stride was begun. */
  const upTo: number[] = [];
  const key = async (name: string) => {
    keys += 1;
    await page.keyboard.press(name);
  };
  for (let steps = 0; steps < 60; steps++) {
    const row = await rowAtHand(page);
    if (!row) return { presses, keys, upTo };
    const side: Side = /left/i.test(row.words) ? "left" : "right";
    const event: EventName = /blade-off/i.test(row.words)
      ? "blade_off"
      : /blade-on/i.test(row.words)
        ? "blade_on"
        : "recovery_min";
    const wanted = frameToTake(event, side, row.picked);
    // Of what lies before and after the strides whose truth is known nothing is taken.
    if (Math.abs(wanted - row.picked) > 5) {
      await key("Delete");
      await untilAnswered(page, row);
      continue;
    }
    if (event === "blade_off") upTo.push(presses + keys);
    for (let at = row.picked; at !== wanted; at += Math.sign(wanted - at))
      await key(wanted > at ? "ArrowRight" : "ArrowLeft");
    await untilLookedFor(page, wanted);
    presses += await putPiece(page, wanted, [side, side], "blade");
    presses += await putPiece(page, wanted, ["left", "right"], "hip");
    await key("Enter");
    await untilAnswered(page, row);
  }
  throw new Error("the sheet never comes to an end");
}

function frameToTake(event: EventName, side: Side, near: number): number {
  if (event === "recovery_min") return nearestEnough(near, side);
  const frames = TRUTH.events.filter((e) => e.event === event && e.side === side).map((e) => e.frame);
  return frames.reduce((a, b) => (Math.abs(b - near) < Math.abs(a - near) ? b : a));
}

/** The row at hand once nothing newer is being looked for; null at the end. */
async function rowAtHand(page: Page): Promise<Row | null> {
  const handle = await page.waitForFunction(
    () => {
      const sheet = document.querySelector("[aria-label='Stride sheet']");
      if (/Nothing is left/.test(sheet?.textContent ?? "")) return "end";
      const row = sheet?.querySelector(".sheet-row[data-active]");
      const strip = document.querySelector("[aria-label='What to do next']")?.textContent ?? "";
      if (!row || /Looking again|being looked for/.test(strip)) return null;
      const title = document.querySelector("[aria-label='What to do next'] h2")?.textContent ?? "";
      const frames = [...row.querySelectorAll("figcaption button")].map((b) => Number(b.textContent));
      const picked = Number(row.querySelector("[data-picked] figcaption button")?.textContent);
      return { name: row.getAttribute("data-row") ?? "", words: title, frames, picked };
    },
    undefined,
    { polling: 50, timeout: PATIENCE_MS },
  );
  const row = (await handle.jsonValue()) as Row | "end";
  return row === "end" ? null : row;
}

/** Another row is at hand, or a sentence says why not. */
async function untilAnswered(page: Page, { name }: Row): Promise<void> {
  await page.waitForFunction((before) => {
    const row = document.querySelector(".sheet-row[data-active]");
    return (
      row?.getAttribute("data-row") !== before ||
      document.querySelector("[aria-label='What to do next'] .care")
    );
  }, name);
}

/** The frame is picked and, where its points were to be looked for, they have been. */
async function untilLookedFor(page: Page, frame: number): Promise<void> {
  await page.waitForFunction(
    (wanted) => {
      const strip = document.querySelector("[aria-label='What to do next']")?.textContent ?? "";
      const picked = document.querySelector(".sheet-row[data-active] [data-picked] figcaption button");
      return Number(picked?.textContent) === wanted && !/Looking again|being looked for/.test(strip);
    },
    frame,
    { polling: 50 },
  );
}

/** Puts a blade or the hips where they are, unless the eye sees nothing amiss: how many presses that took. */
async function putPiece(
  page: Page,
  frame: number,
  sides: readonly [Side, Side],
  what: "blade" | "hip",
): Promise<number> {
  const crop = page.locator(
    `.sheet-row[data-active] ${what === "hip" ? ".sheet-hips" : "[data-picked]"} svg[data-puts]`,
  );
  if ((await crop.count()) === 0) return 0;
  const is = sides.map((side, k) =>
    placeIn(frame, side, what === "hip" ? "hip" : k === 0 ? "blade_heel" : "blade_toe"),
  );
  const shown = await crop.evaluate((svg) => {
    const line = svg.querySelector(".crop-piece");
    const at = (name: string) => Number(line?.getAttribute(name));
    return line
      ? [
          { xPx: at("x1"), yPx: at("y1") },
          { xPx: at("x2"), yPx: at("y2") },
        ]
      : null;
  });
  const [first, second] = is as [(typeof is)[0], (typeof is)[0]];
  if (!shown) {
    await drag(page, crop, first, second);
    return 1;
  }
  const apart = (a: Place, b: Place) => Math.hypot(a.xPx - b.xPx, a.yPx - b.yPx);
  if (Math.max(apart(shown[0]!, first), apart(shown[1]!, second)) <= BESIDE[what]) return 0;
  const movedBy = { xPx: first.xPx - shown[0]!.xPx, yPx: first.yPx - shown[0]!.yPx };
  const other = { xPx: shown[1]!.xPx + movedBy.xPx, yPx: shown[1]!.yPx + movedBy.yPx };
  // The whole piece by its first end; where the other would still lie beside, drawn anew from end to end.
  if (apart(other, second) <= BESIDE[what]) await drag(page, crop, shown[0]!, first);
  else await drag(page, crop, first, second);
  return 1;
}

type Place = { readonly xPx: number; readonly yPx: number };

async function drag(page: Page, crop: ReturnType<Page["locator"]>, from: Place, to: Place): Promise<void> {
  const [a, b] = await crop.evaluate(
    (svg, places) => {
      const box = svg.getBoundingClientRect();
      const [x, y, width, height] = (svg.getAttribute("viewBox") ?? "").split(" ").map(Number) as [
        number,
        number,
        number,
        number,
      ];
      return places.map(({ xPx, yPx }) => ({
        x: box.left + ((xPx - x) / width) * box.width,
        y: box.top + ((yPx - y) / height) * box.height,
      }));
    },
    [from, to],
  );
  await page.mouse.move(a!.x, a!.y);
  await page.mouse.down();
  await page.mouse.move(b!.x, b!.y, { steps: 3 });
  await page.mouse.up();
}
