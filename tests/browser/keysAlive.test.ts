import { join } from "node:path";
import type { Page } from "playwright";
import { expect, it, onTestFinished } from "vitest";
import { randomNumbers } from "../../src/statistics/randomNumbers.ts";
import { ALL } from "../faults/table.ts";
import { H264, paintedClip } from "../helpers/paintedClip.ts";
import { MARKS, STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { PATIENCE_MS, serveStudy, untilExact } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { openWindow } from "./wholeJobWindow.ts";

const CLIP = { frames: 120, width: 640, height: 360, fps: 60 };
const LAST = CLIP.frames - 1;
const SOON = { timeout: PATIENCE_MS };
const SEED = 20261128;

/** Where the blades leave the ice. */
const LEFT = 30;
const RIGHT = 60;
/** Between both, few keys from the first frame: an event is asked for here, and the rhythm suggests another frame. */
const BETWEEN = 40;

const browser = testBrowser();

it("lets no key of the place die, whatever was pressed, chosen, typed or closed before", async () => {
  const page = await openMarked();
  const random = randomNumbers(SEED);
  const pressed: string[] = [];
  const pairs = PRESSES.flatMap((press) => KEYS.map((key) => [press, key] as const));
  // All of them in `npm run faults`, a quarter in `npm test`: each press about twice, each key about three times.
  const rounds = ALL ? pairs.length : pairs.length / 4;
  for (let round = 0; round < rounds; round++) {
    const [[[name, press], [key, works]]] = pairs.splice(Math.floor(random() * pairs.length), 1) as [
      (typeof pairs)[number],
    ];
    pressed.push(`${name}, ${key}`);
    try {
      await press(page, random);
      await works(page);
    } catch (error) {
      throw new Error(`dead after round ${round} of seed ${SEED}: ${pressed.slice(-3).join("; ")}`, {
        cause: error,
      });
    }
  }
});

type Press = (page: Page, random: () => number) => Promise<void>;

const option = (page: Page) => page.locator("[role=listbox]:visible [role=option]").first();

/** What takes the focus in any window. */
const PRESSES: readonly (readonly [name: string, press: Press])[] = [
  [
    "the ribbon",
    async (page, random) => {
      const box = await page.getByRole("slider", { name: /ribbon/i }).boundingBox();
      if (!box) throw new Error("there is no ribbon");
      await page.mouse.click(box.x + box.width * (0.2 + 0.7 * random()), box.y + box.height / 2);
    },
  ],
  ["an event on the ribbon", (page) => page.locator(".ribbon-event").first().click({ force: true })],
  ["a frame on", (page) => page.getByRole("button", { name: "One frame on" }).click()],
  ["zoom in", (page) => page.getByRole("button", { name: "Zoom in" }).click()],
  [
    "a frame typed",
    async (page, random) => {
      await page.getByTestId("frame-field").fill(String(Math.floor(LAST * random())));
      await page.keyboard.press("Enter");
    },
  ],
  [
    "a field left by Escape",
    async (page) => {
      await page.getByTestId("frame-field").click();
      await page.keyboard.press("Escape");
    },
  ],
  [
    "a list",
    async (page) => {
      await page.getByRole("combobox", { name: "What to mark" }).click();
      await option(page).click();
    },
  ],
  [
    "a list left as it is",
    async (page) => {
      await page.getByRole("combobox", { name: "What to mark" }).click();
      await option(page).waitFor();
      await page.keyboard.press("Escape");
    },
  ],
  [
    "the scale and back",
    async (page) => {
      await page.getByRole("button", { name: /^Ice: / }).click();
      await page.getByRole("button", { name: "Leave the scale for now" }).click();
    },
  ],
  [
    "a menu",
    async (page) => {
      await page.getByRole("button", { name: "More" }).click();
      await page.getByRole("menuitem").first().waitFor();
      await page.keyboard.press("Escape");
      await page.getByRole("menuitem").first().waitFor({ state: "detached" });
    },
  ],
  [
    "a small form",
    async (page) => {
      await page.getByRole("button", { name: /frames\/s/ }).click();
      await page.getByLabel(/speed factor/).click();
      await page.keyboard.press("Escape");
      await page.getByLabel(/speed factor/).waitFor({ state: "detached" });
    },
  ],
  [
    "a notice",
    async (page) => {
      await page.getByRole("button", { name: /frames\/s/ }).click();
      await page.getByLabel(/speed factor/).fill("nought");
      await page.keyboard.press("Enter");
      const close = page.locator(".messages").getByRole("button", { name: "Close" });
      await close.first().waitFor();
      await page.keyboard.press("Escape");
      await page.getByLabel(/speed factor/).waitFor({ state: "detached" });
      await close.first().click();
    },
  ],
  ["words", (page) => page.getByRole("heading", { name: "Stride ribbon" }).click()],
];

const wanted = async (page: Page) =>
  Number(await page.getByTestId("picture").getAttribute("data-wanted-frame"));
const untilWanted = (page: Page, frame: number) => expect.poll(() => wanted(page), SOON).toBe(frame);
const question = (page: Page) =>
  page.getByRole("region", { name: "What to do next" }).getByRole("heading").textContent();

/** By keys alone. */
async function goTo(page: Page, frame: number): Promise<void> {
  await page.keyboard.press("Home");
  await untilWanted(page, 0);
  for (let i = 0; i < Math.floor(frame / 10); i++) await page.keyboard.press("Shift+ArrowRight");
  for (let i = 0; i < frame % 10; i++) await page.keyboard.press("ArrowRight");
  await untilWanted(page, frame);
}

/** The key changes what is asked for, and that can be taken back. */
async function changesQuestion(page: Page, frame: number, key: string, back: string): Promise<void> {
  await goTo(page, frame);
  await untilExact(page, frame);
  const before = await question(page);
  await page.keyboard.press(key);
  await expect.poll(() => question(page), SOON).not.toBe(before);
  await page.keyboard.press(back);
  await expect.poll(() => question(page), SOON).toBe(before);
}

const KEYS: readonly (readonly [key: string, works: (page: Page) => Promise<void>])[] = [
  [
    "arrows",
    async (page) => {
      const from = await wanted(page);
      await page.keyboard.press(from === LAST ? "ArrowLeft" : "ArrowRight");
      await untilWanted(page, from === LAST ? from - 1 : from + 1);
    },
  ],
  [
    "End and Home",
    async (page) => {
      await page.keyboard.press("End");
      await untilWanted(page, LAST);
      await page.keyboard.press("Home");
      await untilWanted(page, 0);
    },
  ],
  [
    "event before and after",
    async (page) => {
      await goTo(page, BETWEEN);
      await page.keyboard.press(".");
      await untilWanted(page, RIGHT);
      await page.keyboard.press(",");
      await untilWanted(page, LEFT);
    },
  ],
  ["Enter", (page) => changesQuestion(page, BETWEEN, "Enter", "Control+z")],
  ["S", (page) => changesQuestion(page, BETWEEN, "s", "Escape")],
  ["N", (page) => changesQuestion(page, LEFT, "n", "Control+z")],
  [
    "G",
    async (page) => {
      await goTo(page, BETWEEN);
      await page.keyboard.press("g");
      await expect.poll(() => wanted(page), SOON).not.toBe(BETWEEN);
    },
  ],
  [
    "+ and 0",
    async (page) => {
      const view = () => page.getByTestId("picture").getAttribute("data-view");
      await page.keyboard.press("0");
      await expect.poll(() => page.getByRole("button", { name: "Zoom out" }).isDisabled(), SOON).toBe(true);
      const whole = await view();
      await page.keyboard.press("+");
      await expect.poll(view, SOON).not.toBe(whole);
      await page.keyboard.press("0");
      await expect.poll(view, SOON).toBe(whole);
    },
  ],
  [
    "P",
    async (page) => {
      await page.keyboard.press("Home");
      await page.keyboard.press("p");
      await page.getByRole("button", { name: "Pause" }).waitFor(SOON);
      await page.keyboard.press("P");
      await page.getByRole("button", { name: "Play", exact: true }).waitFor(SOON);
    },
  ],
  [
    "C, with Caps Lock on",
    async (page) => {
      await goTo(page, LEFT);
      await untilExact(page, LEFT);
      await page.keyboard.press("C");
      await page.getByText("Enter puts the point, C ends.").waitFor(SOON);
      await page.keyboard.press("C");
      await page.getByText("Enter puts the point, C ends.").waitFor({ ...SOON, state: "detached" });
    },
  ],
  [
    "?",
    async (page) => {
      await page.keyboard.press("?");
      await page.getByRole("dialog").waitFor();
      await page.keyboard.press("Escape");
      await page.getByRole("dialog").waitFor({ state: "detached" });
    },
  ],
];

async function openMarked(): Promise<Page> {
  const file = await paintedClip({
    ...CLIP,
    file: join(temporaryFolder(), "painted.mp4"),
    args: [...H264, "-g", "30"],
  });
  const trials = STUDY.trials.map((t, i) => (i === 0 ? { ...t, clip: "clip-0" } : t));
  const event = (side: "left" | "right", frame: number) =>
    ({ event: "blade_off", side, frame, time: frame / CLIP.fps }) as const;
  const marks = { ...MARKS, events: [event("left", LEFT), event("right", RIGHT)], marks: [] };
  const server = await serveStudy(studyFolder({ ...STUDY, trials }, [marks], [file]));
  onTestFinished(() => server.close());
  const page = await openWindow(browser, server.url);
  await page.getByText(`to ${LAST}`, { exact: true }).waitFor({ timeout: PATIENCE_MS });
  return page;
}
