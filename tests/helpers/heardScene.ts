import type { SoundTrack } from "../../src/views/sound/soundTrack.ts";
import { type Dice, dice } from "../validate/random.ts";

type Flat = readonly [x: number, y: number];

/** What is heard at one place at one moment: a bang of a few milliseconds, or a scrape that swells and fades. */
export interface Noise {
  readonly at: number;
  readonly place: Flat;
  readonly loud: number;
  readonly lasts: number;
  readonly kind: "clap" | "scrape";
  /** Sounds of one seed are the same wave; absent = each another one. */
  readonly wave?: number;
}

/** Three claps at one place, unevenly, the first about `at`. */
export function claps(d: Dice, place: Flat, at: number, lasts = 0.02, wave?: number): Noise[] {
  return [0, 0.4, 1.1].map((later, k) => ({
    at: at + later * d.even(0.9, 1.1),
    place,
    loud: 3 * d.even(0.7, 1),
    lasts,
    kind: "clap",
    ...(wave !== undefined && { wave: wave + k }),
  }));
}

/** The scrapes of a skater who skates along the lane from x = 0 at `at`. */
export function strides(d: Dice, at: number): Noise[] {
  return Array.from({ length: 14 }, (_, k) => ({
    at: at + k * 0.34 * d.even(0.95, 1.05),
    place: [k * 2.7, 0] as const,
    loud: d.even(0.4, 0.9),
    lasts: 0.22,
    kind: "scrape",
  }));
}

export interface Hearing {
  readonly seed: number;
  readonly rate?: number;
  /** Seconds that each of the two recorders runs, and when (in the world's time) it began. */
  readonly spans: readonly [readonly [from: number, to: number], readonly [from: number, to: number]];
  readonly cameras: readonly [Flat, Flat];
  readonly noises: readonly Noise[];
  /** Of each recorder: own noise, gain, one-pole low-pass (share kept of the last sample), clock (1.0001 = 100 ppm fast), echo. */
  readonly own?: readonly [Partial<Recorder>, Partial<Recorder>];
  /** Metres a second. */
  readonly speed?: number;
}

interface Recorder {
  readonly hiss: number;
  readonly gain: number;
  readonly dull: number;
  readonly clock: number;
  /** How loud the hall answers, and for how long, seconds. */
  readonly hall: number;
  readonly tail: number;
}

const PLAIN: Recorder = { hiss: 0.003, gain: 1, dull: 0, clock: 1, hall: 0.25, tail: 0.25 };

/**
 * Two recorders in a hall, each with its own noise and its own answer of the hall: waves go straight at the speed of sound, grow
 * fainter as 1/distance, and come back scattered. Built sample by sample; knows nothing of how lags are found.
 */
export function heardScene(scene: Hearing): [SoundTrack, SoundTrack] {
  return [0, 1].map((k) => recorded(scene, k as 0 | 1)) as [SoundTrack, SoundTrack];
}

function recorded(scene: Hearing, k: 0 | 1): SoundTrack {
  const { seed, rate = 8000, spans, cameras, noises, own, speed = 335 } = scene;
  const { hiss, gain, dull, clock, hall, tail } = { ...PLAIN, ...own?.[k] };
  const [from, to] = spans[k];
  const count = Math.floor((to - from) * rate);
  const heard = new Float64Array(count);
  noises.forEach((noise, n) => {
    const far = Math.max(0.5, Math.hypot(noise.place[0] - cameras[k][0], noise.place[1] - cameras[k][1]));
    // The same wave for both: its own dice. The hall's answer is another at each place.
    const wave = waveOf(noise, rate, noise.wave ?? seed * 1000 + n);
    const scattered = dice(seed, 77, n, k);
    const taps = [{ late: 0, loud: 1 / far }];
    for (let e = 0; e < 25; e++) {
      const late = scattered.even(0.004, 3 * tail);
      taps.push({ late, loud: (hall * scattered.normal(1) * Math.exp(-late / tail)) / Math.sqrt(far) / 3 });
    }
    for (const { late, loud } of taps) {
      const begins = (noise.at + far / speed + late - from) * clock * rate;
      const first = Math.ceil(begins);
      const share = first - begins;
      for (let i = 0; i + 1 < wave.length; i++) {
        const at = first + i;
        if (at >= 0 && at < count)
          heard[at] = heard[at]! + loud * (wave[i]! * (1 - share) + wave[i + 1]! * share);
      }
    }
  });
  const hisses = dice(seed, 99, k);
  let last = 0;
  const samples = new Int16Array(count);
  for (let i = 0; i < count; i++) {
    last = dull * last + (1 - dull) * (heard[i]! + hisses.normal(hiss));
    samples[i] = Math.max(-32768, Math.min(32767, Math.round(32768 * gain * last)));
  }
  return { rate, begins: 0, samples };
}

function waveOf({ kind, loud, lasts }: Noise, rate: number, seed: number): Float64Array {
  const d = dice(seed, 5);
  return Float64Array.from({ length: Math.max(4, Math.round(lasts * rate)) }, (_, i) => {
    const t = i / rate;
    if (kind === "clap") return loud * d.normal(1) * Math.exp(-t / (lasts / 5));
    return loud * d.normal(1) * Math.sin((Math.PI * t) / lasts) ** 2;
  });
}
