import { Matrix } from "ml-matrix";
import { type Camera, nudged } from "../../camera/camera.ts";
import { type Matrix3, multiply, rotated, times, transposed } from "../../camera/matrix3.ts";
import { layout, type MovingFit } from "../movingCamera.ts";
import type { Background } from "./background.ts";
import { type Chain, chainOf } from "./chain.ts";
import { turnOf } from "./turns.ts";

/** A number of the joint fit that the turns are read through. Of a camera that zooms each end has a focal length of its own. */
type Through = { readonly shared: number } | { readonly end: 0 | 1 };

/** Step of a derivative. */
const STEP = 1e-5;

/** Frames from one with ice points to the next, or beyond the last (or first) of them, and how the camera turned on the way. */
export class Stretch {
  /** Numbers of the ends in the fit; null = beyond the last or first. */
  readonly ends: readonly [number, number | null];
  /** Told frames from the first end to the other, both among them; backwards in time before the first. */
  readonly frames: readonly number[];
  readonly chain: Chain;
  /** Whether the background tells the whole way. */
  readonly isWhole: boolean;
  /** Where the background ends aside of the other end's ice points: turn in that camera's axes (rad), log focal length where it zooms. */
  readonly gap: readonly number[];
  readonly #fit: MovingFit;
  readonly #through: readonly Through[];
  /** How the chained turn to each frame follows a change of what it is read through, in that frame's axes. */
  readonly #slopes: readonly (readonly (readonly number[])[])[];

  constructor(fit: MovingFit, background: Background, ends: Stretch["ends"], frames: readonly number[]) {
    this.#fit = fit;
    this.ends = ends;
    this.frames = frames;
    const { model } = fit;
    const chained = (moved: Through | null) => chainThrough(fit, background, this, moved);
    this.chain = chained(null);
    this.isWhole = this.chain.rotations.length === frames.length;
    const at = layout(model);
    this.#through = [
      ...(model.zooms
        ? [{ end: 0 as const }, ...(ends[1] === null ? [] : [{ end: 1 as const }])]
        : [{ shared: 0 }]),
      ...(model.findsCentre ? [{ shared: at.centre }, { shared: at.centre + 1 }] : []),
      ...Array.from({ length: model.findLens }, (_, k) => ({ shared: at.lens + k })),
      ...(model.rolls ? [{ shared: at.roll }] : []),
    ];
    this.#slopes = this.#through.map((moved) => {
      const { rotations } = chained(moved);
      return this.chain.rotations.map((r, n) =>
        turnOf(multiply(rotations[n] ?? r, transposed(r))).map((v) => v / STEP),
      );
    });
    this.gap = this.#gapOf();
  }

  /** Of the way, what has been gone to the n-th frame. */
  share(n: number): number {
    const { way } = this.chain;
    return this.ends[1] === null ? 0 : way[n]! / way[way.length - 1]!;
  }

  camera(n: number): Camera {
    const { cameras } = this.#fit;
    const rotation = this.chain.rotations[n]!;
    const turn = times(this.#fromOther(n), this.gap.slice(0, 3)).map((v) => v * this.share(n));
    const from = cameras[this.ends[0]]!;
    return {
      ...from,
      focalPx: Math.exp(this.chain.logFocals[n]!),
      rotation: rotated([turn[0]!, turn[1]!, turn[2]!], multiply(rotation, from.rotation)),
    };
  }

  /** How the n-th frame's turn (and log focal length, where it zooms) follows the fit's shared deviation, and its ends' own. */
  slopes(n: number) {
    const { rows, columns } = this.#size();
    const share = this.share(n);
    const back = this.#fromOther(n);
    const last = this.#slopes.map((s) => s[s.length - 1]!);
    const shared = Matrix.zeros(rows, columns);
    const [one, other] = [byTurn(this.chain.rotations[n]!, 1 - share, rows), byTurn(back, share, rows)];
    this.#through.forEach((what, k) => {
      const drawn = times(back, last[k]!).map((v) => share * v);
      const turn = this.#slopes[k]![n]!.map((v, r) => v - (this.ends[1] === null ? 0 : drawn[r]!));
      const into = "shared" in what ? shared : what.end === 0 ? one : other;
      turn.forEach((v, r) => {
        into.set(r, "shared" in what ? what.shared : 3, v);
      });
    });
    const [a, b] = this.ends;
    return { shared, keys: [{ key: a, by: one }, ...(b === null ? [] : [{ key: b, by: other }])] };
  }

  /** Covariance of the gap by what the joint fit leaves open. */
  gapCovariance(): number[][] {
    const { rows, columns } = this.#size();
    const [a, b] = this.ends;
    const { spread } = this.#fit;
    const n = this.frames.length - 1;
    const [from, to] = [byTurn(this.chain.rotations[n]!, -1, rows), byTurn(UNTURNED, 1, rows)];
    const shared = Matrix.zeros(rows, columns);
    this.#through.forEach((what, k) => {
      const into = "shared" in what ? shared : what.end === 0 ? from : to;
      this.#slopes[k]![n]!.forEach((v, r) => {
        into.set(r, "shared" in what ? what.shared : 3, -v);
      });
    });
    const [mine, its] = [spread.groups[a]!, spread.groups[b!]!];
    const together = Matrix.add(Matrix.add(from.mmul(mine.follow), to.mmul(its.follow)), shared);
    const parts = [together.mmul(spread.shared), from.mmul(mine.own), to.mmul(its.own)];
    const sum = Matrix.zeros(rows, rows);
    for (const p of parts) sum.add(p.mmul(p.transpose()));
    return sum.to2DArray();
  }

  #gapOf(): number[] {
    const [a, b] = this.ends;
    const { cameras, model } = this.#fit;
    if (b === null || !this.isWhole) return model.zooms ? [0, 0, 0, 0] : [0, 0, 0];
    const [from, to] = [cameras[a]!, cameras[b]!];
    const there = multiply(this.chain.rotations[this.frames.length - 1]!, from.rotation);
    const turn = turnOf(multiply(to.rotation, transposed(there)));
    return model.zooms ? [...turn, Math.log(to.focalPx / from.focalPx) - this.chain.zoom] : turn;
  }

  /** Takes directions in the other end's axes into the n-th frame's. */
  #fromOther(n: number): Matrix3 {
    const { rotations } = this.chain;
    return multiply(rotations[n]!, transposed(rotations[rotations.length - 1]!));
  }

  #size() {
    return { rows: this.#fit.model.zooms ? 4 : 3, columns: this.#fit.spread.shared.rows };
  }
}

const UNTURNED: Matrix3 = [1, 0, 0, 0, 1, 0, 0, 0, 1];

/** A turn of one frame as it comes to another; a focal length's as its share. */
function byTurn(rotation: Matrix3, share: number, rows: number): Matrix {
  const by = Matrix.zeros(rows, rows);
  for (let r = 0; r < 3; r++) for (let c = 0; c < 3; c++) by.set(r, c, share * rotation[3 * r + c]!);
  if (rows === 4) by.set(3, 3, share);
  return by;
}

/** The chain with one of the numbers that it is read through moved by a step. */
function chainThrough(
  { model, cameras, lens, shutter, centre }: MovingFit,
  background: Background,
  { ends: [a, b], frames }: Pick<Stretch, "ends" | "frames">,
  moved: Through | null,
): Chain {
  const at = layout(model);
  const shared = moved && "shared" in moved ? moved.shared : -1;
  const step = (number: number) => (shared === number ? STEP : 0);
  const endStep = (end: 0 | 1) =>
    (moved && "end" in moved && moved.end === end) || (!model.zooms && shared === 0) ? STEP : 0;
  const from = nudged(
    cameras[a]!,
    endStep(0),
    [0, 0, 0],
    [0, 0, 0],
    model.findsCentre ? [centre.sdPx * step(at.centre), centre.sdPx * step(at.centre + 1)] : undefined,
  );
  const eye = {
    cx: from.cx,
    cy: from.cy,
    lens: {
      k1: lens.k1 + (model.findLens > 0 ? step(at.lens) : 0),
      k2: (lens.k2 ?? 0) + (model.findLens === 2 ? step(at.lens + 1) : 0),
    },
    shutter: shutter + (model.rolls ? step(at.roll) : 0),
  };
  const end = b === null ? null : cameras[b]!.focalPx * Math.exp(endStep(1));
  return chainOf(background, eye, frames, [from.focalPx, end], model.zooms);
}
