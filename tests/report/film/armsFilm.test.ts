import { describe, expect, it } from "vitest";
import { momentNearestMean } from "../../../src/report/film/momentNearestMean.ts";
import { planFilm } from "../../../src/report/film/planFilm.ts";
import { measuredOnce } from "../../../src/trials/measuredOnce.ts";
import { ARMS, demo } from "../../helpers/demoReadings.ts";

const study = demo(ARMS);
/** The clips are rendered apart; a film is planned without their pictures. */
const whole = {
  ...study,
  study: { ...study.study, trials: study.study.trials.map((t) => ({ ...t, clip: t.clip ?? t.id })) },
};
const readingOf = measuredOnce(whole);
const times = { times: Array.from({ length: 400 }, (_, k) => k / 60), part: null };
const pair = ["aino-along-1", "aino-across-1"];
const readings = (id: string) => {
  const reading = readingOf(id);
  if (!reading.ok) throw reading.error;
  return reading.value;
};

describe("a film of arms", () => {
  const plan = planFilm(
    whole,
    { trials: pair, moment: null, slow: 2, names: "names" },
    () => times,
    readingOf,
  );

  it("is lined up on the stride whose arms swing nearest their trials' means, and says so", () => {
    expect(plan.at(0).foot).toMatch(/lined up on .* blade-off \d \(stride \d+\), nearest the mean/);
    // By hand: of all blade-offs that both have, none has a smaller sum of both arms' distances in both trials.
    const off = (n: number) =>
      pair.reduce((sum, id) => {
        const { strides, arms } = readings(id);
        return (["left", "right"] as const).reduce((s, side) => {
          const value = strides[n - 1]?.armSwingDirectionDeg[side].value;
          const mean = arms.directionDeg[side];
          if ("why" in mean) throw new Error(mean.why);
          return value === null || value === undefined ? 1e9 : s + Math.abs(value - mean.mean);
        }, sum);
      }, 0);
    const chosen = Number(plan.name.match(/stride (\d+)/)![1]);
    const all = readings(pair[0]!).strides.map((s) => off(s.stride));
    expect(off(chosen)).toBeCloseTo(Math.min(...all), 9);
  });

  it("shows each arm's last whole swing, and nothing of what comes later", () => {
    for (const [c, id] of pair.entries()) {
      const { strides } = readings(id);
      for (let j = 0; j < plan.count; j += 5) {
        const panel = plan.at(j).panels[c]!;
        for (const side of ["left", "right"] as const) {
          const row = panel.rows.find((r) => r.name === `${side} arm’s direction`)!;
          if (!row.had) continue;
          const stride = strides[Number(row.of!.match(/stride (\d+)/)![1]) - 1]!;
          const { value } = stride.armSwingDirectionDeg[side];
          expect(Math.abs(Number.parseFloat(row.text) - value!)).toBeLessThan(0.51);
          const extremes = study.marks[id]!.events.filter(
            (e) => e.side === side && e.event.startsWith("arm") && e.frame <= panel.frame,
          );
          expect(extremes.length).toBeGreaterThan(1);
        }
      }
    }
  });

  it("draws an arm on the body in the frame of its extreme only", () => {
    const event = study.marks[pair[0]!]!.events.find((e) => e.event === "arm_front" && e.side === "left")!;
    const at = (frame: number) =>
      Array.from({ length: plan.count }, (_, j) => plan.at(j).panels[0]!).find((p) => p.frame === frame)!;
    const mark = study.marks[pair[0]!]!.marks.find(
      (m) => m.frame === event.frame && m.side === "left" && m.point === "wrist",
    )!;
    const wrists = at(event.frame).marks.limbs.map((l) => l[2]!);
    expect(wrists.some((w) => Math.hypot(w.xPx - mark.xPx, w.yPx - mark.yPx) < 0.5)).toBe(true);
    const between = at(event.frame + 1);
    const moved = between.marks.limbs.map((l) => l[2]!);
    expect(moved.some((w) => Math.hypot(w.xPx - mark.xPx, w.yPx - mark.yPx) < 0.5)).toBe(false);
  });

  it("has no nearest stride where a trial is not measured", () => {
    const shown = pair.map((id) => ({ marks: study.marks[id]!, readings: readings(id), ofArms: true }));
    expect(momentNearestMean(shown, whole.study.lane)).not.toBeNull();
    expect(momentNearestMean([shown[0]!, { ...shown[1]!, readings: null }], whole.study.lane)).toBeNull();
  });
});
