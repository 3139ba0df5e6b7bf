import { describe, expect, it } from "vitest";
import { fitScale } from "../../src/ice/fitScale.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { changed, filmed, PICTURE, panning, refusal, scaleOf, skater, VIEWS } from "../helpers/filmedPan.ts";
import { pannedTrial } from "../helpers/pannedTrial.ts";

describe("what is refused or warned of when the camera moves", () => {
  it("a frame without two ice points of its own, by number, while the others are measured", () => {
    const { input, iceFrames, frames } = filmed();
    const gone = frames[2]!.off;
    for (const rest of [
      iceFrames.filter((f) => f.frame !== gone),
      changed(
        iceFrames,
        (f) => f.frame === gone,
        (points) => points.slice(0, 1),
      ),
    ]) {
      const reference = { kind: "ice-points-by-frame", frames: rest } as const;
      const { strides } = measureTrial({ ...input, iceReference: reference });
      const width = strides[2]!.readings.stride_width_m;
      expect(width).toMatchObject({ value: null, why: expect.stringContaining(`frame ${gone} has`) });
      expect(strides[4]!.readings.stride_width_m.value).not.toBeNull();
    }
  });

  it("a reference on one frame only", () => {
    const error = refusal(filmed().iceFrames.slice(0, 1));
    expect(error.code).toBe("moving-camera-one-frame");
    expect(error.coach).toContain("wrong in the next");
  });

  it("mirrored places: the camera would be under the ice", () => {
    const mirrored = changed(
      filmed().iceFrames,
      () => true,
      (points) => points.map((p) => ({ ...p, y: -p.y })),
    );
    expect(refusal(mirrored).code).toBe("ice-points-mirrored");
  });

  it("a given lens that folds the picture", () => {
    const reference = { kind: "ice-points-by-frame", frames: filmed().iceFrames } as const;
    expect(() => fitScale(reference, PICTURE, 1, { k1: -20 })).toThrow(
      expect.objectContaining({ code: "bad-lens" }),
    );
  });

  it("a point far outside the picture, by frame; one just outside is used and named", () => {
    const { iceFrames } = filmed("side", { keyPoints: 8, framePoints: 4 });
    const move = (by: number) =>
      changed(
        iceFrames,
        (_, k) => k === 3,
        ([first, ...rest]) => [{ ...first!, xPx: by, uPx: 1e5 }, ...rest],
      );
    const error = refusal(move(-4000));
    expect(error.code).toBe("ice-point-outside-picture");
    expect(error.coach).toContain(`frame ${iceFrames[3]!.frame}`);
    const [warning, ...others] = scaleOf(move(-30)).summary.warnings;
    expect(others).toEqual([]);
    expect(warning!.text).toContain(
      `${iceFrames[3]!.points[0]!.label} on frame ${iceFrames[3]!.frame} lies outside`,
    );
  });

  it("no frame with four points", () => {
    const frames = filmed("side", { keyPoints: 3, framePoints: 3 }).iceFrames;
    expect(refusal(frames).code).toBe("moving-camera-no-key-frame");
  });

  it("a frame twice, a frame that is no number, no frames", () => {
    const { iceFrames } = filmed();
    expect(refusal([...iceFrames, iceFrames[0]!]).code).toBe("bad-ice-frame");
    expect(refusal([{ ...iceFrames[0]!, frame: 1.5 }, ...iceFrames.slice(1)]).code).toBe("bad-ice-frame");
    expect(refusal([]).code).toBe("moving-camera-one-frame");
    const nan = changed(
      iceFrames,
      (_, k) => k === 1,
      (points) => points.map((p) => ({ ...p, xPx: Number.NaN })),
    );
    expect(refusal(nan).code).toBe("ice-point-not-a-number");
    expect(refusal(nan).coach).toContain(`frame ${iceFrames[1]!.frame}`);
  });

  it("a tripod that was carried on the way", () => {
    const { iceFrames } = filmed("side", { keyPoints: 8, framePoints: 6 });
    const elsewhere = pannedTrial(skater, {
      ...panning(VIEWS.side, { keyPoints: 8, framePoints: 6 }),
      from: [19.5, -9, 3],
    });
    const half = iceFrames.map((f, k) => (k < 6 ? f : elsewhere.iceFrames[k]!));
    expect(refusal(half).code).toBe("ice-points-disagree");
    expect(refusal(half).coach).toContain("carried");
  });

  it("one bad point, by name and frame; it is not taken for a zoom", () => {
    const { iceFrames } = filmed("side", { noisePx: 1, keyPoints: 8, framePoints: 4 });
    const bad = changed(
      iceFrames,
      (_, k) => k === 4,
      ([first, ...rest]) => [{ ...first!, xPx: first!.xPx + 25 }, ...rest],
    );
    const { warnings } = scaleOf(bad).summary;
    expect(warnings.map((w) => w.code)).toEqual(["ice-points-fit-poorly"]);
    expect(warnings[0]!.text).toMatch(
      new RegExp(`${bad[4]!.points[0]!.label} on frame ${bad[4]!.frame} disagrees by 2\\d px; without it`),
    );
  });

  it("a zoom is said", () => {
    const hfovAt = (time: number) => 40 * (1 - 0.1 * time);
    const { summary } = scaleOf(filmed("side", { hfovAt, noisePx: 1 }).iceFrames);
    expect(summary.warnings.map((w) => w.code)).toEqual(["camera-zooms"]);
  });
});

describe("key frames that are none by themselves", () => {
  it("serve together: seven of eight points on one edge of the lane in every one of them", () => {
    const { iceFrames } = filmed("45 from behind", { keyPoints: 16 });
    const lopsided = iceFrames.map((f) => {
      const left = f.points.filter((p) => p.y > 0).slice(0, 7);
      const right = f.points.filter((p) => p.y < 0).slice(0, 1);
      return { ...f, points: f.points.length > 2 ? [...left, ...right] : f.points };
    });
    const { camera, rmsPx } = scaleOf(lopsided).summary;
    expect(rmsPx).toBeLessThan(1e-6);
    expect(Math.hypot(camera!.x - 5, camera!.y + 9, camera!.height - 3)).toBeLessThan(1e-3);
  });

  it("are refused where all their points lie on one line", () => {
    const { iceFrames } = filmed("side", { keyPoints: 16, framePoints: 8 });
    const edge = changed(
      iceFrames,
      () => true,
      (points) => points.filter((p) => p.y > 0),
    );
    expect(refusal(edge).code).toBe("moving-camera-no-key-frame");
  });
});
