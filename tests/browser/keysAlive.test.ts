import { join } from "node:path";
import type { Page } from "playwright";
import { it, onTestFinished } from "vitest";
import { randomNumbers } from "../../src/statistics/randomNumbers.ts";
import type { Study, TrialMarks } from "../../src/study/types.ts";
import { ALL } from "../faults/table.ts";
import { H264, paintedClip } from "../helpers/paintedClip.ts";
import { MARKS, STUDY, studyFolder, temporaryFolder } from "../helpers/studyFolder.ts";
import { PRESSES, type Press } from "./focusPresses.ts";
import { ANSWERS, ARM, KEYS, LAST, LEFT, type LivingKey, RIGHT } from "./livingKeys.ts";
import { PATIENCE_MS, serveStudy } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { openWindow } from "./wholeJobWindow.ts";

const CLIP = { frames: LAST + 1, width: 640, height: 360, fps: 60 };
const PICTURE = { clip: "clip-0", width: CLIP.width, height: CLIP.height, frameInterval: 1 / CLIP.fps };
const SEED = 20261128;

const browser = testBrowser();

it("lets no key of the place die, whatever was pressed, chosen, typed or closed before", async () => {
  const opened = await open(
    { ...MARKS, events: [bladeOff("left", LEFT), bladeOff("right", RIGHT)], marks: [HEEL] },
    {},
  );
  await pressAll(opened, PRESSES, KEYS);
});

it("lets no answer die where an arm is asked about", async () => {
  const front = { event: "arm_front", side: "left", frame: ARM, time: ARM / CLIP.fps } as const;
  const opened = await open(
    { ...MARKS, events: [bladeOff("left", LEFT), front, bladeOff("right", RIGHT)], marks: ARM_MARKS },
    { markingDepth: "everything" },
  );
  // Of a list another depth would be chosen, which asks about no arms.
  const presses = PRESSES.filter(([name]) => name !== "a list");
  await pressAll(opened, presses, ANSWERS);
});

/** All pairs in `npm run faults`, a sixth in `npm test`: each press two or three times, each key about twice. */
async function pressAll(
  { page, folder }: Opened,
  presses: readonly (readonly [name: string, press: Press])[],
  keys: readonly LivingKey[],
): Promise<void> {
  const random = randomNumbers(SEED);
  const pressed: string[] = [];
  const pairs = presses.flatMap((press) => keys.map((key) => [press, key] as const));
  const rounds = ALL ? pairs.length : pairs.length / 6;
  for (let round = 0; round < rounds; round++) {
    const [[[name, press], [key, works]]] = pairs.splice(Math.floor(random() * pairs.length), 1) as [
      (typeof pairs)[number],
    ];
    pressed.push(`${name}, ${key}`);
    try {
      await press(page, random);
      await works(page, folder);
    } catch (error) {
      throw new Error(`dead after round ${round} of seed ${SEED}: ${pressed.slice(-3).join("; ")}`, {
        cause: error,
      });
    }
  }
}

interface Opened {
  readonly page: Page;
  readonly folder: string;
}

const HEEL: TrialMarks["marks"][number] = {
  ...{ frame: LEFT, time: LEFT / CLIP.fps, point: "blade_heel", side: "left" },
  ...{ xPx: 300, yPx: 200 },
};

const ARM_MARKS: TrialMarks["marks"] = (["shoulder", "elbow", "wrist"] as const).map((point, i) => ({
  ...{ frame: ARM, time: ARM / CLIP.fps, point, side: "left" },
  ...{ xPx: 300 + 10 * i, yPx: 120 + 20 * i },
}));

function bladeOff(side: "left" | "right", frame: number) {
  return { event: "blade_off", side, frame, time: frame / CLIP.fps } as const;
}

async function open(marks: TrialMarks, study: Partial<Study>): Promise<Opened> {
  const file = await paintedClip({
    ...CLIP,
    file: join(temporaryFolder(), "painted.mp4"),
    args: [...H264, "-g", "30"],
  });
  const trials = STUDY.trials.map((t, i) => (i === 0 ? { ...t, clip: "clip-0" } : t));
  const folder = studyFolder({ ...STUDY, ...study, trials }, [{ ...marks, picture: PICTURE }], [file]);
  const server = await serveStudy(folder);
  onTestFinished(() => server.close());
  const page = await openWindow(browser, server.url);
  await page.getByText(`to ${LAST}`, { exact: true }).waitFor({ timeout: PATIENCE_MS });
  return { page, folder };
}
