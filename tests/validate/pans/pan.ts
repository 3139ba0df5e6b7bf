import type { MeasureInput } from "../../../src/kinematics/types.ts";
import { underMotion } from "../../../src/motion/steadyReference.ts";
import type { ClipMotion } from "../../../src/study/types.ts";
import { type MeasureDocument, measureTables } from "../drive.ts";
import { judge } from "../judge.ts";
import { dice } from "../random.ts";
import { add, type Tally } from "../tally.ts";
import { type FilmedPan, filmPan, type PanKind } from "./filmPan.ts";
import { followedCourse } from "./followed.ts";

const BENCH = {
  from: [18.3, -14, 3],
  hfovDeg: 40,
  handM: 0.1,
  jitterPx: 0,
  zooms: false,
  readoutS: 0,
  k1: 0,
  reach: 9,
} as const;
const FPS = [50, 120, 60] as const;

export const KINDS: Readonly<Record<string, PanKind>> = {
  panned: { ...BENCH, fps: FPS },
  diagonal: { ...BENCH, from: [4, -12, 3], hfovDeg: 30, fps: FPS },
  front: { ...BENCH, from: [42, 1, 3], hfovDeg: 22, fps: FPS },
  shaking: { ...BENCH, jitterPx: 1.5, fps: FPS },
  shakingMuch: { ...BENCH, jitterPx: 4, fps: FPS },
  zoomed: { ...BENCH, from: [40, -6, 4], hfovDeg: 25, zooms: true, fps: FPS },
  rolling: { ...BENCH, readoutS: 0.02, fps: [50, 30, 60] },
  close: { ...BENCH, from: [18.3, -8, 3], hfovDeg: 60, readoutS: 0.02, fps: [50, 30, 60] },
  lens: { ...BENCH, k1: -0.05, fps: FPS },
  wide: { ...BENCH, from: [18.3, -9, 3], hfovDeg: 65, k1: -0.12, fps: FPS },
  all: {
    ...BENCH,
    from: [18.3, -9, 3],
    hfovDeg: 60,
    k1: -0.1,
    readoutS: 0.02,
    jitterPx: 1.5,
    fps: [50, 30, 60],
  },
};

/** How a pan is measured: with ice points on each frame, or carried from three by its background. */
export type How = "points" | "points looked at" | "carried" | "nothing";

const REFUSED = {
  ...{ quantity: "trial", error: null, u95: 0, covered: false },
  ...{ atFrameError: null, bound: null, allOnIce: false },
} as const;

export function panTally(
  kind: PanKind,
  how: How,
  seed: number,
  skaters: number,
  said?: (film: FilmedPan, d: MeasureDocument | string) => void,
): Tally {
  const tally: Tally = new Map();
  for (let who = 0; who < skaters; who++) {
    const film = filmPan(seed, kind, who, how.startsWith("points") ? 2 : 0);
    const motion =
      how === "points" || how === "nothing"
        ? null
        : followedCourse(film.course, ...film.part, dice(seed, who, 9));
    const document = measured(film, motion);
    said?.(film, document);
    if (typeof document === "string") {
      add(tally, "refused trials", { ...REFUSED, why: document });
      continue;
    }
    for (const verdict of judge(film, document, null)) add(tally, verdict.quantity, verdict);
  }
  return tally;
}

/** @param readoutShare where somebody states it */
export function measured(
  film: FilmedPan,
  motion: ClipMotion | null,
  readoutShare?: number,
): MeasureDocument | string {
  const sd = film.picture.width / 1920;
  return measureTables(film, sd, 0, (input): MeasureInput => {
    const { iceReference } = input;
    if (!motion || iceReference?.kind !== "ice-points-by-frame") return input;
    const stated = { ...iceReference, ...(readoutShare !== undefined && { readoutShare }) };
    return { ...input, iceReference: underMotion(motion, stated, film.picture, sd).reference };
  });
}
