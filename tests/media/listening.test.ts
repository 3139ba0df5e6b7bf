import { statSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import type { SoundNews } from "../../src/study/exchange.ts";
import type { ClipLink, Study, TrialMarks } from "../../src/study/types.ts";
import { claps, heardScene } from "../helpers/heardScene.ts";
import { soundedClip } from "../helpers/soundedClip.ts";
import { STUDY, sharedFolder, studyFolder } from "../helpers/studyFolder.ts";
import { testHost } from "../helpers/testHost.ts";
import { dice } from "../validate/random.ts";

const clipsFolder = sharedFolder();
const LATE = 1.37;

beforeAll(() => {
  const [first, second] = heardScene({
    seed: 9,
    spans: [
      [0, 8],
      [LATE, LATE + 8],
    ],
    cameras: [
      [0, 0],
      [3, 0],
    ],
    noises: claps(dice(9), [10, 2], 4),
  });
  soundedClip(join(clipsFolder, "front.mp4"), first, { seconds: 8 });
  soundedClip(join(clipsFolder, "bench.mp4"), second, { seconds: 8 });
  soundedClip(join(clipsFolder, "mute.mp4"), null, { seconds: 4 });
});

const clipOf = (id: string): ClipLink => {
  const path = join(clipsFolder, `${id}.mp4`);
  return { id, name: `${id}.mp4`, path, bytes: statSync(path).size };
};

function marksOf(trial: string, clip: string): TrialMarks {
  return {
    ...{ format: "blademark.marks", version: 1, trial },
    picture: { clip, width: 64, height: 48, frameInterval: 1 / 30 },
    iceReference: null,
    events: [{ frame: 90, time: 3, event: "blade_off", side: "left" }] as TrialMarks["events"],
    marks: [],
  };
}

/** A study whose trial has two views, and a host over it. */
async function hostOf(second: string) {
  const study: Study = {
    ...STUDY,
    clips: ["front", second].map(clipOf),
    trials: [
      {
        ...STUDY.trials[0]!,
        clip: "front",
        clips: [{ clip: second, role: "view", id: "t1-two" }],
      },
      STUDY.trials[1]!,
    ],
  };
  return testHost(studyFolder(study, [marksOf("t1", "front"), marksOf("t1-two", second)]));
}

async function newsOf(answer: Response): Promise<SoundNews[]> {
  expect(answer.status).toBe(200);
  const lines = (await answer.text()).trimEnd().split("\n");
  return lines.map((line) => JSON.parse(line));
}

describe("listening to two views' clips", () => {
  it("says which it listens to, then by how much their clocks differ", async () => {
    const { get } = await hostOf("bench");
    const news = await newsOf(await get("/api/sounds/t1-two", { method: "POST" }));
    expect(news.slice(0, 3)).toEqual([
      { kind: "listening", view: 1 },
      { kind: "listening", view: 2 },
      { kind: "comparing" },
    ]);
    const last = news[3]!;
    if (last.kind !== "heard") throw new Error(JSON.stringify(last));
    expect(last.found).toMatchObject({ clip: "bench", with: "front" });
    // 3 m of sound at most beside it.
    expect(Math.abs(last.found.lag!.offset - LATE)).toBeLessThan(3 / 325 + 0.003);
  });

  it("says that a clip has no sound, and which clips it needs", async () => {
    const { get } = await hostOf("mute");
    const news = await newsOf(await get("/api/sounds/t1-two", { method: "POST" }));
    expect(news.at(-1)).toEqual({
      kind: "heard",
      found: { clip: "mute", with: "front", lag: null, why: '"mute.mp4" has no sound there' },
    });
    for (const odd of ["t1", "t2", "nobody"]) {
      const [failed] = await newsOf(await get(`/api/sounds/${odd}`, { method: "POST" }));
      expect(failed).toMatchObject({
        kind: "failed",
        text: expect.stringMatching(/needs the clips of two views/),
      });
    }
  });

  it("stops when nobody hears any more", async () => {
    const { get, host } = await hostOf("bench");
    const answer = await get("/api/sounds/t1-two", { method: "POST" });
    await answer.body!.cancel();
    await host.close();
  });
});
