import { describe, expect, it } from "vitest";
import { clipKinds } from "../helpers/clipKinds.ts";
import { numbersIn, probedTimes } from "../helpers/paintedClip.ts";
import { sharedFolder, studyFolder } from "../helpers/studyFolder.ts";
import { ended, testHost } from "../helpers/testHost.ts";

/** Every kind of clip people bring: each served frame shows its own number, at its own time. */
const folder = sharedFolder();

const KINDS = clipKinds(() => folder);

describe("frames of clips", () => {
  it.each(KINDS)("shows every frame of a clip of the kind: $name", async (kind) => {
    const file = await kind.make();
    const host = await testHost(studyFolder(undefined, undefined, [file]));
    const index = await host.until("clip-0", ended);
    expect(index.failure).toBeNull();
    expect(index).toMatchObject({
      ...{ state: "ready", ready: kind.numbers.length, count: kind.numbers.length, countIsExact: true },
      ...{ width: kind.width, height: kind.height, rotation: kind.rotation ?? 0, codec: kind.codec },
      variableRate: kind.variableRate ?? false,
    });
    expect(index.warnings.map((w) => w.code)).toEqual(kind.warnings ?? []);

    const { jpegs, times } = await host.frames("clip-0", index.count);
    expect(numbersIn(jpegs, kind.width, kind.height)).toEqual(kind.numbers);
    expect(times).toEqual(index.times);
    // 1/90000 s is the finest tick any of these containers keeps.
    const within = kind.within ?? 1.2e-5;
    const { timesFrom = 0 } = kind;
    for (const [n, time] of times.entries()) {
      if (n < timesFrom) continue;
      const off = time - times[timesFrom]! - (kind.times[n]! - kind.times[timesFrom]!);
      expect(Math.abs(off), `time of frame ${n}`).toBeLessThan(within);
    }
    // Two readers that are not ours: every frame decoded, and the packets as the container lists them.
    const probed = probedTimes(file);
    const decoded = probed?.frames;
    const begin = decoded?.findIndex((time) => time !== null) ?? 0;
    for (const [n, time] of decoded?.entries() ?? [])
      if (time !== null)
        expect(times[n]! - times[begin]!, `time of frame ${n} by ffprobe`).toBeCloseTo(time, 9);
    expect(decoded?.length ?? times.length).toBe(times.length);
    if (probed && !kind.noPacketTimes)
      expect(times.map((t) => t.toFixed(9))).toEqual(probed.packets.map((t) => t.toFixed(9)));
  });
});
