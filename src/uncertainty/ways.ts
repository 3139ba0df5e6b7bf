import { K95, type Ways } from "./errorShape.ts";

/** What a value owes to one family, by way. */
interface Family {
  ways: Ways;
  readonly means: number[];
  readonly slopes: number[];
  readonly rests: number[];
  variance: number;
}

/** So many families that matter most are taken in all combinations of their ways; others, and those below this share of the variance, as normal. */
const MOST_FAMILIES = 3;
const LEAST_SHARE = 0.01;
/** Excess of a flat error. */
const FLAT_FOURTH = -1.2;

// Sums of one value at a time: never nested, so the room is used again.
const pool: Family[] = [];
let count = 0;
/** By family: its place in the pool, counted from 1; 0 between values. */
let places = new Int32Array(1024);

export function startWays(): void {
  for (let k = 0; k < count; k++) places[pool[k]!.ways.family] = 0;
  count = 0;
}

/** @param part what the value changes by when the cause moves by one of its standard deviations */
export function addWays(ways: Ways, part: number): void {
  const { shares, means, slopes, rests, family } = ways;
  if (family >= places.length) {
    const before = places;
    places = new Int32Array(2 * family);
    places.set(before);
  }
  if (places[family] === 0) {
    pool[count] ??= { ways, means: [], slopes: [], rests: [], variance: 0 };
    const fresh = pool[count]!;
    fresh.ways = ways;
    for (let w = 0; w < shares.length; w++) fresh.means[w] = fresh.slopes[w] = fresh.rests[w] = 0;
    places[family] = ++count;
  }
  const sum = pool[places[family]! - 1]!;
  const square = part * part;
  for (let w = 0; w < shares.length; w++) {
    sum.means[w]! += part * means[w]!;
    sum.slopes[w]! += part * slopes[w]!;
    sum.rests[w]! += square * rests[w]!;
  }
}

/** Room for all combinations: families have up to four ways. */
const ROOM = 4 ** MOST_FAMILIES;
/** By combination: how often it comes, its mean, its variance and then its SD, its fourth cumulant and then a twenty-fourth of it over the SD's fourth power. */
const often = new Float64Array(ROOM);
const middle = new Float64Array(ROOM);
const scale = new Float64Array(ROOM);
const bend = new Float64Array(ROOM);
let combinations = 0;
const chosen: Family[] = [];

/**
 * Half-width of the interval about the value that holds 95 % where its causes come in ways; null where none matters.
 *
 * @param variance of the whole value
 * @param others fourth cumulant of what comes in no ways
 */
export function halfWidthByWays(variance: number, others: number): number | null {
  choose(variance);
  if (chosen.length === 0) return null;
  let rest = variance;
  for (const family of chosen) rest -= family.variance;
  combinations = 1;
  often[0] = 1;
  middle[0] = 0;
  scale[0] = Math.max(0, rest);
  bend[0] = others;
  for (const family of chosen) combine(family);
  const least = 1e-12 * variance;
  for (let c = 0; c < combinations; c++) {
    const square = Math.max(scale[c]!, least);
    scale[c] = Math.sqrt(square);
    bend[c]! /= 24 * square * square;
  }
  return solve(Math.sqrt(variance));
}

/** The families that matter most, the first of equals first. */
function choose(variance: number): void {
  chosen.length = 0;
  for (let k = 0; k < count; k++) {
    const family = pool[k]!;
    family.variance = varianceOf(family);
    if (family.variance < LEAST_SHARE * variance) continue;
    let at = chosen.length;
    while (at > 0 && chosen[at - 1]!.variance < family.variance) at--;
    if (at === MOST_FAMILIES) continue;
    if (chosen.length < MOST_FAMILIES) chosen.push(family);
    for (let k = chosen.length - 1; k > at; k--) chosen[k] = chosen[k - 1]!;
    chosen[at] = family;
  }
}

function varianceOf({ ways: { shares }, means, slopes, rests }: Family): number {
  let sum = 0;
  for (let w = 0; w < shares.length; w++)
    sum += shares[w]! * (means[w]! * means[w]! + slopes[w]! * slopes[w]! + rests[w]!);
  return sum;
}

/** Every combination so far with each way of this family: from the last one on, so that none is written over before it is read. */
function combine({ ways: { shares }, means, slopes, rests }: Family): void {
  const ways = shares.length;
  for (let c = combinations - 1; c >= 0; c--) {
    const [o, m, s, f] = [often[c]!, middle[c]!, scale[c]!, bend[c]!];
    for (let w = 0; w < ways; w++) {
      const flat = slopes[w]! * slopes[w]!;
      const into = c * ways + w;
      often[into] = o * shares[w]!;
      middle[into] = m + means[w]!;
      scale[into] = s + flat + rests[w]!;
      bend[into] = f + FLAT_FOURTH * flat * flat;
    }
  }
  combinations *= ways;
}

/** Newton's steps within what is known to be too narrow and too wide. */
function solve(u: number): number {
  let [low, high, at] = [0, Number.POSITIVE_INFINITY, K95 * u];
  for (let round = 0; round < 40; round++) {
    let [held, density] = [-0.95, 0];
    for (let c = 0; c < combinations; c++) {
      const by = 1 / scale[c]!;
      const x = (at - middle[c]!) * by;
      const y = (at + middle[c]!) * by;
      const p = Math.exp((-x * x) / 2) * INVERSE_ROOT_2PI;
      const q = Math.exp((-y * y) / 2) * INVERSE_ROOT_2PI;
      const bent = bend[c]! * (p * x * (x * x - 3) + q * y * (y * y - 3));
      held += often[c]! * (below(x, p) + below(y, q) - 1 - bent);
      density += often[c]! * by * (p + q);
    }
    if (held < 0) low = at;
    else high = at;
    const step = held / density;
    const next = at - step;
    // The next step would be the square of it.
    if (Math.abs(step) < 1e-4 * u) return next;
    at = next > low && next < high ? next : high < Number.POSITIVE_INFINITY ? (low + high) / 2 : 1.5 * at;
  }
  return at;
}

const INVERSE_ROOT_2PI = 0.3989422804014327;

/** Normal distribution function at x of density p, to 7.5e-8. @see Abramowitz and Stegun (1964), Handbook of Mathematical Functions, 26.2.17 */
function below(x: number, p: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(x));
  const beyond =
    p * t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  return x < 0 ? beyond : 1 - beyond;
}
