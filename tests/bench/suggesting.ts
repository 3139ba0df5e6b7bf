import { mkdirSync, mkdtempSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, relative } from "node:path";
import { newStudy } from "../../src/study/newStudy.ts";
import type { TrialMarks } from "../../src/study/types.ts";
import { firstVisit } from "../helpers/firstVisit.ts";
import { type BenchClip, benchClip, CLIPS } from "./benchClips.ts";
import { serveFolder } from "./benchHost.ts";
import { benchBrowser, benchWindow, leaveField, timedJump, timedPress, untilShown } from "./benchWindow.ts";
import { p50p95, quantile, type Row } from "./table.ts";

const STEPS = 40;
/** Stepping without a pause, in which looking gives way throughout, and with pauses long enough for it to go on in between. */
const BETWEEN_MS = { "in a row": 70, "with pauses": 450 } as const;
type Pace = keyof typeof BETWEEN_MS;
/** Each clip is looked at once only: a block with looking beside it takes the next. */
const LOOKED_AT = [
  "aino-close-1",
  "bea-open-1",
  "signe-close-1",
  "tove-open-1",
  "wren-close-1",
  "bea-close-1",
];
/** p95 beside looking, as a multiple of without: more is felt. [judgement] */
const MOST = 1.25;

/**
 * From key press to the right frame while suggestions are worked out on another clip of the same host, beside the same
 * without, block after block in one run. Only ratios count.
 */
export async function suggestingRows(root: string): Promise<Row[]> {
  const clip = CLIPS[0]!;
  const study = await studyWith(root, clip);
  const host = await serveFolder(root, study);
  const browser = await benchBrowser();
  try {
    await host.untilReady();
    const looking = await lookingAt(host.url, study);
    const page = await benchWindow(browser, host.url, clip);
    await untilShown(page);
    const taken = { alone: times(), beside: times() };
    let looked = 0;
    for (const [k, trial] of LOOKED_AT.entries()) {
      const pace: Pace = k % 2 === 0 ? "in a row" : "with pauses";
      for (const way of k % 4 < 2 ? (["alone", "beside"] as const) : (["beside", "alone"] as const)) {
        const look = way === "beside" ? await looking(trial) : null;
        await timedJump(page, 20);
        await leaveField(page);
        for (let i = 1; i <= STEPS; i++) {
          await page.waitForTimeout(BETWEEN_MS[pace]);
          taken[way][pace].push((await timedPress(page, "ArrowRight", 20 + i)).ms);
        }
        if (look) looked += await look.stop();
      }
    }
    const rows = (Object.keys(BETWEEN_MS) as Pace[]).flatMap((pace): Row[] => {
      const [alone, beside] = [taken.alone[pace], taken.beside[pace]];
      const ratio = quantile(beside, 0.95) / quantile(alone, 0.95);
      return [
        { clip: clip.name, what: `one frame on, ${pace}`, value: p50p95(alone) },
        { clip: clip.name, what: "... while suggestions are worked out", value: p50p95(beside) },
        {
          ...{ clip: clip.name, what: "... p95 over without", value: ratio.toFixed(2) },
          ...{ limit: `at most ${MOST}`, met: ratio <= MOST },
        },
      ];
    });
    return [...rows, { clip: clip.name, what: "frames looked at beside", value: String(looked) }];
  } finally {
    await browser.close();
    await host.close();
  }
}

const times = (): Record<Pace, number[]> => ({ "in a row": [], "with pauses": [] });

/** Asks the host for suggestions on a trial as the window does; resolves once frames are being looked at. */
async function lookingAt(url: string, study: string) {
  const { base, headers } = await firstVisit(url);
  return async (trial: string) => {
    const stop = new AbortController();
    const answer = await fetch(new URL(`api/suggestions/${trial}`, base), {
      method: "POST",
      headers: { ...headers, "content-type": "application/json", origin: new URL(base).origin },
      body: readFileSync(join(study, "marks", `${trial}.json`)),
      signal: stop.signal,
    });
    if (!answer.ok || !answer.body)
      throw new Error(`the host answered ${answer.status}: ${await answer.text()}`);
    let [done, over] = [0, false];
    const begun = new Promise<void>((resolve, reject) => {
      const hear = async () => {
        for await (const part of answer.body!.pipeThrough(new TextDecoderStream())) {
          if (part.includes('"failed"')) throw new Error(part);
          for (const [, n] of part.matchAll(/"looking","done":(\d+)/g)) {
            done = Number(n);
            resolve();
          }
        }
        over = true;
      };
      hear().catch((error: unknown) => (stop.signal.aborted ? undefined : reject(error)));
    });
    await begun;
    return {
      async stop(): Promise<number> {
        if (over) throw new Error(`${trial} was looked at to its end before the steps were over`);
        stop.abort();
        return done;
      },
    };
  };
}

/** A trial with the painted clip, which is stepped, and others with the demo's clips and the four largest strides of their marks. */
async function studyWith(root: string, clip: BenchClip): Promise<string> {
  const study = mkdtempSync(join(tmpdir(), "blademark-bench-"));
  mkdirSync(join(study, "marks"));
  const samples = join(root, "sample-clips");
  for (const id of LOOKED_AT) {
    const all = JSON.parse(readFileSync(join(samples, "demo-study/marks", `${id}.json`), "utf8"));
    writeFileSync(join(study, "marks", `${id}.json`), JSON.stringify(largest(all)));
  }
  const files = [
    ["bench", await benchClip(join(root, "dist/bench/clips"), clip)] as const,
    ...LOOKED_AT.map((id) => [id, join(samples, "clips", `${id}.mp4`)] as const),
  ];
  const document = {
    ...newStudy(),
    skaters: [{ id: "a", name: "Aino", code: "A1", body: {} }],
    techniques: [{ id: "x", name: "close recovery", asked: [] }],
    trials: files.map(([id], k) => ({
      ...{ id: k === 0 ? "t1" : id, skater: "a", technique: "x", repeat: k + 1, order: k + 1 },
      ...{ time: null, valid: true, speedFactor: 1, clip: id },
    })),
    clips: files.map(([id, file]) => ({
      ...{ id, name: `${id}.mp4`, path: relative(study, file), bytes: statSync(file).size },
    })),
  };
  writeFileSync(join(study, "study.json"), JSON.stringify(document));
  return study;
}

/** What is marked of the last two blade-offs, and blade-ons, of each side: the demo's skaters come nearer. */
function largest(all: TrialMarks): TrialMarks {
  const events = (["blade_off", "blade_on"] as const).flatMap((event) =>
    (["left", "right"] as const).flatMap((side) =>
      all.events.filter((e) => e.event === event && e.side === side).slice(-2),
    ),
  );
  const frames = new Set(events.map((e) => e.frame));
  return { ...all, events, marks: all.marks.filter((m) => frames.has(m.frame)) };
}
