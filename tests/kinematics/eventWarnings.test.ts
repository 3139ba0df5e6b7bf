import { describe, expect, it } from "vitest";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { EventFrame } from "../../src/study/types.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { PLACEMENTS, type Placement, ZONE } from "../helpers/placements.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";

/* The forward model pushes every 0.33 s, which is twenty frames, and its blades come down before the other ones leave. */
const FPS = 60;
const CODES = ["both-blades-in-the-air", "hurried-stride", "flights-throughout"];

function trial(placement: Placement, seed = 1, slips = 0.2) {
  const skater = simulateSkater({
    ...ORDINARY,
    skim: 0.004,
    vary: (n) => 0.03 * Math.sin(12.9898 * (n + seed)),
  });
  const filming = { camera: PLACEMENTS[placement], fps: FPS, zone: ZONE, noisePx: 1, slips, statedSdPx: 1 };
  return filmedTrial(skater, { ...filming, random: seeded(seed) });
}

function said({ input }: ReturnType<typeof trial>, later: (e: EventFrame) => number = () => 0) {
  const events = input.events.map((e) => ({
    ...e,
    frame: e.frame + later(e),
    time: e.time + later(e) / FPS,
  }));
  return measureTrial({ ...input, events }).warnings.filter(({ code }) => CODES.includes(code));
}

describe("events no skater makes", () => {
  it("are not seen where the frames are right to one", () => {
    for (const placement of Object.keys(PLACEMENTS) as Placement[])
      for (let seed = 1; seed <= 5; seed++) expect(said(trial(placement, seed)), placement).toEqual([]);
  });

  it("one blade-on picked most of a push late leaves both blades in the air: between which frames", () => {
    const filmed = trial("side", 1, 0);
    const { side, on } = filmed.frames[2]!;
    const warnings = said(filmed, (e) => (e.event === "blade_on" && e.frame === on ? 14 : 0));
    expect(warnings.map((w) => w.code)).toEqual(["both-blades-in-the-air"]);
    const next = filmed.frames[3]!;
    expect(warnings[0]!.text).toContain(`Between frames ${next.off} and ${on + 14} `);
    expect(warnings[0]!.text).toContain(`the ${next.side} blade-off and the ${side} blade-on`);
  });

  it("one blade-off picked half a push early hurries its stride, and which frame", () => {
    const filmed = trial("side", 1, 0);
    const { off } = filmed.frames[3]!;
    const warnings = said(filmed, (e) => (e.event === "blade_off" && e.frame === off ? -11 : 0));
    expect(warnings.map((w) => w.code)).toContain("hurried-stride");
    expect(warnings.find((w) => w.code === "hurried-stride")!.text).toMatch(
      new RegExp(`^Stride 4 .*frame ${off - 11} `),
    );
  });

  it("blade-ons all picked after the other blade has left are flights throughout, and no distance is believed", () => {
    const filmed = trial("side", 1, 0);
    const late = (e: EventFrame) => (e.event === "blade_on" ? 7 : 0);
    expect(said(filmed, late).map((w) => w.code)).toEqual(["flights-throughout"]);
    const events = filmed.input.events.map((e) => ({
      ...e,
      frame: e.frame + late(e),
      time: e.time + late(e) / FPS,
    }));
    const { strides } = measureTrial({ ...filmed.input, events });
    for (const { readings } of strides) expect(readings.stride_width_m.value).toBeNull();
  });
});
