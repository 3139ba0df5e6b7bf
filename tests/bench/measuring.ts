import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { DRAWS, measureTrialDrawn } from "../../src/kinematics/measureTrialDrawn.ts";
import { randomNumbers } from "../../src/uncertainty/randomNumbers.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { pinhole } from "../helpers/pinhole.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";
import { p50p95, quantile, type Row } from "./table.ts";

const STRIDES = 20;
const ROUNDS = 400;

/** The core alone, no clip: one trial re-derived after a mark moves, Monte Carlo, a study of trials. */
export function measuringRows(root: string): Row[] {
  const skater = simulateSkater({ ...ORDINARY, strides: STRIDES, speed: 7, startX: 0 });
  const camera = pinhole([70, 0.3, 4], [25, 0], 30);
  const film = { camera, fps: 60, zone: [0, 50] as const, noisePx: 1, slips: 0.2, statedSdPx: 1 };
  const { input } = filmedTrial(skater, { ...film, random: seeded(3) });
  // A mark moves each time: nothing about the marks can be remembered, the ice reference can.
  const moved = (k: number) => ({
    ...input,
    marks: input.marks.map((m, n) => (n === k % input.marks.length ? { ...m, xPx: m.xPx + 0.1 } : m)),
  });
  for (let k = 0; k < 100; k++) measureTrial(moved(k));
  const linear = timed(ROUNDS, (k) => measureTrial(moved(k)));
  const drawn = timed(3, (k) => measureTrialDrawn(moved(k), randomNumbers(k + 1)));
  const study = timed(5, (k) => {
    for (let n = 0; n < 60; n++) measureTrial(moved(60 * k + n));
  });
  const clip = `${STRIDES} strides`;
  const rows: Row[] = [
    { clip, what: "trial re-derived after a mark moved", value: p50p95(linear), limit: "5 ms" },
    { clip, what: `Monte Carlo, ${DRAWS} draws, every quantity`, value: p50p95(drawn), limit: "2000 ms" },
    { clip, what: "60 trials one after the other", value: p50p95(study) },
  ];
  const numpy = numpyWidths(root);
  if (numpy === null) return rows;
  const ratio = quantile(drawn, 0.5) / numpy;
  return [
    ...rows,
    {
      clip,
      what: "the same over NumPy drawing stride widths alone",
      value: `${ratio.toFixed(1)} (NumPy ${numpy.toFixed(0)} ms)`,
    },
  ];
}

function timed(rounds: number, work: (k: number) => void): number[] {
  return Array.from({ length: rounds }, (_, k) => {
    const begun = performance.now();
    work(k);
    return performance.now() - begun;
  });
}

/** Milliseconds NumPy takes for a part of the same work; null where there is no Python with NumPy. */
function numpyWidths(root: string): number | null {
  try {
    const out = execFileSync("python3", [join(root, "tests/bench/numpyWidths.py")], {
      encoding: "utf8",
      stdio: ["ignore", "pipe", "ignore"],
    });
    return Number(out);
  } catch {
    return null;
  }
}
