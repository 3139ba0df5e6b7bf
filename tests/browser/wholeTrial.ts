import type { Page } from "playwright";
import type { TrialMarks } from "../../src/study/types.ts";
import { scaleOnly } from "./demoTrial.ts";
import { onPage, untilExact } from "./measureWindow.ts";
import { TRUTH } from "./wholeJobWindow.ts";
import { type Labour, work } from "./worker.ts";

/** Nothing of the trial is marked. */
export function unmarked(): TrialMarks {
  return { ...scaleOnly(), iceReference: null };
}

/** Of the crosses laid in pairs at 1, 8 ... 29 m every second pair: the six points that are asked for, spread over the lane. */
const PAIRS = { from: "1", to: "29", every: "14" };

/**
 * The scale of a camera's first clip: pairs typed, each of their places pressed to half a pixel of the screen. Counts each
 * press of the pointer and of a key.
 */
async function setScale(page: Page): Promise<Labour> {
  let [presses, keys] = [0, 0];
  const key = async (name: string) => {
    keys += 1;
    await page.keyboard.press(name);
  };
  const type = async (text: string) => {
    for (const letter of text) await key(letter);
  };
  await page.getByRole("button", { name: "Own places" }).click();
  await page.getByLabel("from", { exact: true }).click();
  presses += 2;
  await type(PAIRS.from);
  await key("Tab");
  await type(PAIRS.to);
  await key("Tab");
  await type(PAIRS.every);
  await key("Enter");
  const wanted = TRUTH.ice_points.filter((p) => (p.x_m - Number(PAIRS.from)) % Number(PAIRS.every) === 0);
  for (const { x_m, y_m, x_px, y_px } of wanted) {
    const side = y_m > 0 ? "left" : "right";
    await page.getByRole("heading", { name: `Ice point: ${x_m} m ${side}`, exact: true }).waitFor();
    const at = await onPage(page, x_px, y_px);
    await page.mouse.click(Math.round(at.x), Math.round(at.y));
    presses += 1;
  }
  await page.getByRole("button", { name: new RegExp(`^Ice: ${wanted.length} points, fit`) }).waitFor();
  await page.getByRole("button", { name: "Scale is done: mark strides" }).waitFor();
  await key("Enter");
  return { presses, keys };
}

/** Goes to a frame by its number, which is not counted: it is where one begins. */
async function begin(page: Page, frame: number): Promise<void> {
  await page.getByTestId("frame-field").fill(String(frame));
  await page.getByTestId("frame-field").press("Enter");
  await page.getByTestId("frame-field").blur();
  await untilExact(page, frame);
}

/** What comes before the sheet: the scale, and strides as the window asks for them. */
export async function scaleAndTaught(page: Page, strides: readonly number[]): Promise<Labour[]> {
  const scale = await setScale(page);
  const first = TRUTH.events.find((e) => e.event === "blade_off" && e.stride === strides[0]);
  if (!first) throw new Error(`no stride ${strides[0]}`);
  await begin(page, first.frame);
  await page.getByTestId("picture").focus();
  return [scale, await work(page, strides)];
}
