import type { Page } from "playwright";
import { project } from "../../sample-clips/make/camera.ts";
import { type Filmed, film } from "../../sample-clips/make/happenings.ts";
import { CLIPS } from "../../sample-clips/make/people.ts";
import { makeRun } from "../../sample-clips/make/run.ts";
import { pointOf, sideName } from "../../sample-clips/make/truth.ts";
import type { EventName, PointName, Side } from "../../src/study/types.ts";
import { nearestEnough as asNear } from "../helpers/nearestEnough.ts";
import { onPage, untilExact } from "./measureWindow.ts";
import { TRIAL, TRUTH } from "./wholeJobWindow.ts";

/** What a hand has done so far. */
export interface Labour {
  readonly presses: number;
  readonly keys: number;
}

interface PicturePlace {
  readonly xPx: number;
  readonly yPx: number;
}

const KINDS: readonly (readonly [RegExp, EventName])[] = [
  [/blade-off/i, "blade_off"],
  [/blade-on/i, "blade_on"],
  [/arm front/i, "arm_front"],
];

const POINTS: readonly (readonly [RegExp, PointName])[] = [
  [/blade, heel end/i, "blade_heel"],
  [/blade, toe end/i, "blade_toe"],
  [/hip/i, "hip"],
  [/shoulder/i, "shoulder"],
  [/elbow/i, "elbow"],
  [/wrist/i, "wrist"],
];

/**
 * Somebody who knows where everything is and does what the window asks, one thing after the other, counting each press of
 * the pointer and of a key. Stops when the window asks for an event of a push that is not to be marked.
 */
export async function work(page: Page, strides: readonly number[]): Promise<Labour> {
  let presses = 0;
  let keys = 0;
  const key = async (name: string) => {
    keys += 1;
    await page.keyboard.press(name);
  };
  const todo = TRUTH.events.filter((e) => strides.includes(e.stride));
  const done = new Set<object>();
  let before = "";
  for (let steps = 0; steps < 40 * strides.length; steps++) {
    const asked = await whatIsAsked(page, before);
    before = asked.state;
    const point = POINTS.find(([words]) => words.test(asked.title))?.[1];
    const side: Side = /^left|the left/i.test(asked.title) ? "left" : "right";
    if (/^Is the /.test(asked.title)) {
      await key(isToward(asked.frame, side, /elbow nearer/.test(asked.title)) ? "y" : "n");
    } else if (/^(Next|First): /.test(asked.title)) {
      await key("Enter");
    } else if (point) {
      if (asked.isSought) await goBy(page, key, nearestEnough(asked.frame, side));
      const frame = await frameShown(page);
      const places = piece(point, side).map(([p, s]) => placeIn(frame, s, p));
      presses += 1;
      await press(page, places);
    } else {
      const kind = KINDS.find(([words]) => words.test(asked.title))?.[1];
      const event = todo.find((e) => !done.has(e) && e.event === kind && e.side === side);
      if (!event) return { presses, keys };
      done.add(event);
      await goBy(page, key, event.frame);
      await key("Enter");
    }
  }
  throw new Error("the window never stops asking");
}

/** Goes to a frame by the arrow keys, as few as will do. */
export async function goBy(page: Page, key: (name: string) => Promise<void>, frame: number): Promise<void> {
  for (let d = frame - (await frameWanted(page)); d !== 0; d = frame - (await frameWanted(page)))
    await key(`${Math.abs(d) > 5 ? "Shift+" : ""}${d < 0 ? "ArrowLeft" : "ArrowRight"}`);
  await untilExact(page, frame);
}

async function frameWanted(page: Page): Promise<number> {
  return Number(await page.getByTestId("picture").getAttribute("data-wanted-frame"));
}

async function frameShown(page: Page): Promise<number> {
  return Number(await page.getByTestId("picture").getAttribute("data-whole-frame"));
}

function isToward(frame: number, side: Side, elbow: boolean): boolean | undefined {
  const event = TRUTH.events.find((e) => e.frame === frame && e.side === side && e.event.startsWith("arm"));
  return elbow ? event?.elbow_toward_camera : event?.wrist_toward_camera;
}

/** Points that one drag puts, or the one point. */
function piece(point: PointName, side: Side): readonly (readonly [PointName, Side])[] {
  if (point === "blade_heel")
    return [
      [point, side],
      ["blade_toe", side],
    ];
  if (point === "hip" && side === "left")
    return [
      [point, side],
      ["hip", "right"],
    ];
  if (point === "shoulder")
    return [
      [point, side],
      ["elbow", side],
    ];
  return [[point, side]];
}

/** Nearer each other than this on the screen, px, two points are put by two presses. */
const DRAGGED_FROM = 12;
/** Presses at the first place and drags to the second, where there is one and it is far enough. */
async function press(page: Page, places: readonly PicturePlace[]): Promise<void> {
  await untilStill(page);
  const [from, to] = await Promise.all(places.map((p) => onPage(page, p.xPx, p.yPx)));
  if (!from) throw new Error("nothing to press");
  await page.mouse.move(Math.round(from.x), Math.round(from.y));
  await page.mouse.down();
  if (to && Math.hypot(to.x - from.x, to.y - from.y) >= DRAGGED_FROM)
    await page.mouse.move(Math.round(to.x), Math.round(to.y), { steps: 4 });
  await page.mouse.up();
}

/** The view follows the skater smoothly: waits until it has come to rest, by what the browser draws and not by the clock. */
async function untilStill(page: Page): Promise<void> {
  await page.evaluate(async () => {
    const picture = document.querySelector<HTMLElement>("[data-testid=picture]");
    const drawn = () => new Promise((done) => requestAnimationFrame(done));
    let [before, same] = ["", 0];
    while (same < 4) {
      await drawn();
      const now = picture?.dataset.view ?? "";
      same = now === before ? same + 1 : 0;
      before = now;
    }
  });
}

let known: Filmed | null = null;

/** The world the clip was rendered from: it knows every point in every frame. */
function world(): Filmed {
  const clip = CLIPS.find((c) => c.name === TRIAL);
  if (!clip) throw new Error(`no clip is called ${TRIAL}`);
  known ??= film(clip, makeRun(clip.run));
  return known;
}

export function placeIn(frame: number, side: Side, point: PointName): PicturePlace {
  const { clip, run, times } = world();
  const seen = project(clip.camera, pointOf(run.poseAt(times[frame]!)[side], point));
  return { xPx: seen.x, yPx: seen.y };
}

/** The frame nearest to this one in which the blade is as near the midline as an eye can tell. */
export function nearestEnough(frame: number, side: Side): number {
  const all = world().happenings.filter((h) => sideName(h.sign) === side);
  const off = all.findLast((h) => h.event === "blade_off" && h.frame < frame);
  const least = all.find((h) => h.event === "recovery_min" && h.push === off?.push);
  if (!least) throw new Error(`no recovery around frame ${frame}`);
  return asNear(world(), least, frame);
}

/** What the window asks for once its picture is there and it is not what it asked before. */
export async function whatIsAsked(page: Page, before: string) {
  const handle = await page.waitForFunction(
    (last) => {
      const strip = document.querySelector("[aria-label='What to do next']");
      const title = strip?.querySelector("h2")?.textContent ?? "";
      const hint = strip?.querySelector("p")?.textContent ?? "";
      const { wantedFrame, wholeFrame } =
        document.querySelector<HTMLElement>("[data-testid=picture]")?.dataset ?? {};
      const isSought = hint.includes("if this frame shows it");
      const asked = { title, isSought, frame: Number(wantedFrame), state: `${title} ${wantedFrame}` };
      return title !== "" && wantedFrame === wholeFrame && asked.state !== last ? asked : null;
    },
    before,
    { polling: 20 },
  );
  const asked = await handle.jsonValue();
  if (!asked) throw new Error("nothing is asked for");
  return asked;
}
