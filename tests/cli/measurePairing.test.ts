import { describe, expect, it } from "vitest";
import { blademark } from "../helpers/commandLine.ts";
import { SPEED, skater } from "../helpers/exactTrial.ts";
import { filmedTables } from "./filmedTables.ts";

describe("the pairing check of measure", () => {
  const last = skater.offs.length - 1;
  const at = (i: number) => skater.blade(skater.offs[i]!.side, skater.offs[i]!.time).x;
  const gates: [number, number] = [at(0) + 0.3, at(last) - 0.3];
  // Constant speed, so the time between the gates is their distance over it.
  const truth = (gates[1] - gates[0]) / SPEED;
  const check = async (photocell: number, more: string[] = [], to = gates) => {
    const given = ["--photocell", photocell.toFixed(3), "--gates", to.map((g) => g.toFixed(3)).join(",")];
    const { out } = await blademark(...filmedTables().base, ...given, ...more, "--json");
    return JSON.parse(out).warnings.filter((w: { code: string }) => w.code.startsWith("pairing"));
  };

  it("says that a fitting time agrees, and that this proves nothing", async () => {
    const [warning, ...more] = await check(truth);
    expect(more).toEqual([]);
    expect(warning.code).toBe("pairing");
    expect(warning.text).toMatch(/agree.*does not prove/);
    const shown = Number(/clip shows (\d+\.\d+)/.exec(warning.text)?.[1]);
    expect(Math.abs(shown - truth)).toBeLessThan(0.05);
  });

  it("finds slow-motion playback", async () => {
    const [warning] = await check(truth / 8);
    expect(warning.code).toBe("pairing-speed");
    expect(warning.text).toMatch(/speed factor by 8/);
    const [settled] = await check(truth / 8, ["--speed-factor", "8"]);
    expect(settled.code).toBe("pairing");
  });

  it("doubts a clip whose time fits no playback", async () => {
    const [warning] = await check(truth * 1.55);
    expect(warning.code).toBe("pairing-refuted");
  });

  it("says why it cannot check gates that the marks do not reach", async () => {
    const [warning] = await check(5, [], [0, 30]);
    expect(warning.code).toBe("pairing-not-checked");
    expect(warning.text).toMatch(/reach from \d+\.\d to \d+\.\d m/);
  });
});
