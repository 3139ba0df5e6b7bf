import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { fitScale, type ScaleReference } from "../../src/ice/fitScale.ts";
import { measureAgain } from "../../src/kinematics/measureAgain.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { DRAWS, measureTrialDrawn } from "../../src/kinematics/measureTrialDrawn.ts";
import type { MeasureInput } from "../../src/kinematics/types.ts";
import { randomNumbers } from "../../src/statistics/randomNumbers.ts";
import { filmedTrial } from "../helpers/filmedTrial.ts";
import { pinhole } from "../helpers/pinhole.ts";
import { seeded } from "../helpers/random.ts";
import { ORDINARY, simulateSkater } from "../helpers/skater.ts";
import { p50p95, quantile, type Row } from "./table.ts";

const ROUNDS = 400;
const TRIALS = 60;
const FIT = "fit of an ice reference, first time";

/** The core alone, no clip: one trial while a mark is being moved, and worked out cold; Monte Carlo; a study of trials. */
export function measuringRows(root: string): Row[] {
  const long = filmedStrides(20);
  // Studies first: drawing errors leaves a heap behind that no study starts with.
  const usual = filmedStrides(12);
  const first = `${timedStudy(usual).toFixed(1)} ms`;
  const rows = [
    { clip: "12 strides", what: `${STUDY}, first of the process: nothing compiled`, value: first },
    ...studyOf(12, usual),
    ...studyOf(20, long),
    ...oneTrial(root, long),
  ];
  const fits = timed(ROUNDS, () => fitScale(own(long.iceReference!), long.picture, long.markSdPx));
  const scipy = python(root, "scipyFit.py");
  return [
    ...rows,
    { clip: "8 points", what: FIT, value: p50p95(fits) },
    ...ratioRow("8 points", `${FIT}, over SciPy's two fits`, Math.min(...fits), scipy, "SciPy"),
  ];
}

function oneTrial(root: string, input: MeasureInput): Row[] {
  const clip = "20 strides";
  // A mark moves each time. Cold: nothing about the marks is remembered; the ice reference is.
  const moved = (k: number) => ({
    ...input,
    marks: input.marks.map((m, n) => (n === k % input.marks.length ? { ...m, xPx: m.xPx + 0.1 } : m)),
  });
  const dragged = Array.from({ length: ROUNDS }, (_, k) => moved(7 * k));
  const again = measureAgain();
  for (let k = 0; k < 100; k++) again(moved(k));
  const linear = timed(ROUNDS, (k) => again(dragged[k]!));
  for (let k = 0; k < 100; k++) measureTrial(moved(k));
  const cold = timed(ROUNDS, (k) => measureTrial(dragged[k]!));
  const drawn = timed(3, (k) => measureTrialDrawn(moved(k), randomNumbers(k + 1)));
  const draws = `Monte Carlo, ${DRAWS} draws, every quantity`;
  return [
    { clip, what: "re-derived after one mark moved", value: p50p95(linear), limit: "5 ms" },
    { clip, what: "worked out cold, ice reference known", value: p50p95(cold) },
    { clip, what: draws, value: p50p95(drawn), limit: "2000 ms" },
    ...ratioRow(
      clip,
      "the same over NumPy drawing stride widths alone",
      quantile(drawn, 0.5),
      python(root, "numpyWidths.py"),
      "NumPy",
    ),
  ];
}

const STUDY = `${TRIALS} trials cold, each with its own ice reference`;

function studyOf(strides: number, input: MeasureInput): Row[] {
  timedStudy(input);
  const times = Array.from({ length: 12 }, () => timedStudy(input));
  return [{ clip: `${strides} strides`, what: STUDY, value: p50p95(times), limit: "300 ms" }];
}

/** Every trial cold: marks and an ice reference of its own that nobody has seen before. Milliseconds. */
function timedStudy(input: MeasureInput): number {
  const trials = Array.from({ length: TRIALS }, (_, n) => ({
    ...input,
    iceReference: own(input.iceReference!),
    marks: input.marks.map((m) => ({ ...m, xPx: m.xPx + n / 100 })),
  }));
  const [time] = timed(1, () => {
    for (const trial of trials) measureTrial(trial);
  });
  return time!;
}

function filmedStrides(strides: number): MeasureInput {
  const skater = simulateSkater({ ...ORDINARY, strides, speed: 7, startX: 0 });
  const camera = pinhole([70, 0.3, 4], [25, 0], 30);
  const film = { camera, fps: 60, zone: [0, 50] as const, noisePx: 1, slips: 0.2, statedSdPx: 1 };
  return filmedTrial(skater, { ...film, random: seeded(3) }).input;
}

/** The same reference as another object: what is remembered of the first does not serve. */
function own(reference: ScaleReference): ScaleReference {
  return structuredClone(reference);
}

function timed(rounds: number, work: (k: number) => void): number[] {
  return Array.from({ length: rounds }, (_, k) => {
    const begun = performance.now();
    work(k);
    return performance.now() - begun;
  });
}

function ratioRow(clip: string, what: string, ours: number, theirs: number | null, name: string): Row[] {
  if (theirs === null) return [];
  return [{ clip, what, value: `${(ours / theirs).toFixed(1)} (${name} ${theirs.toPrecision(3)} ms)` }];
}

/** Milliseconds a plain version in Python takes; null where there is no Python with NumPy and SciPy. */
function python(root: string, script: string): number | null {
  try {
    const out = execFileSync("python3", [join(root, "tests/bench", script)], {
      encoding: "utf8",
      stdio: ["ignore", "pipe", "ignore"],
    });
    return Number(out);
  } catch {
    return null;
  }
}
