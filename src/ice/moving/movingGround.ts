import type { Matrix } from "ml-matrix";
import { exactly, fromParts, type Sources, type Uncertain } from "../../uncertainty/uncertain.ts";
import { type Camera, nudged } from "../camera/camera.ts";
import { BEYOND_LENS, type Ground, type UncertainCamera } from "../camera/ground.ts";
import { isWithinReach, undistort } from "../camera/lens.ts";
import { placeOnIce } from "../camera/placeOnIce.ts";
import type { FlatPoint } from "../points/hull.ts";
import type { CarriedCamera, Carrier } from "./follow/carrier.ts";
import { layout, type MovingFit } from "./movingCamera.ts";

/** Which frames there is a camera for. */
interface PlacedFrames {
  /** Frame → which camera of the fit. */
  readonly indexOf: Pick<ReadonlyMap<number, number>, "get" | "has">;
  /** Those that the background carries it to. */
  readonly carrier?: Pick<Carrier, "camera" | "whyNot"> | null;
  /** Why a frame without a camera has none. */
  readonly whyNot: (frame: number) => string;
  /** See `Ground.slant`. */
  readonly slant?: (
    frame: number,
    at: { readonly xPx: number; readonly yPx: number },
  ) => readonly [number, number];
}

/**
 * The ice as a moving camera shows it: one mapping a frame. What the joint fit leaves open about the tripod's
 * place and the focal length is shared by all frames; what it leaves open about a direction is that frame's own.
 */
export function movingGround(
  { indexOf, carrier = null, whyNot, slant }: PlacedFrames,
  fit: MovingFit,
  widen: number,
  hull: readonly FlatPoint[],
  sources: Sources,
): Ground {
  const views = new Map<number, UncertainCamera | null>();
  const causes = new Causes(fit, widen, sources);
  const viewOf = (frame: number): UncertainCamera | null => {
    const index = indexOf.get(frame);
    if (index !== undefined) return uncertainCamera(fit, fit.cameras[index]!, causes, causes.ownOf(index));
    const carried = carrier?.camera(frame) ?? null;
    return carried && uncertainCamera(fit, carried.camera, causes, causes.carried(carried));
  };
  const cameraIn = (frame: number): UncertainCamera | null => {
    if (!views.has(frame)) views.set(frame, viewOf(frame));
    return views.get(frame) ?? null;
  };
  const rolled = fit.model.rolls ? causes.common(layout(fit.model).roll) : null;
  return {
    place: (mark, frame) => {
      const view = cameraIn(frame);
      return view && placeOnIce(view, mark);
    },
    cameraIn,
    eyeIn: (frame) => cameraIn(frame)?.camera ?? null,
    unplacedWhy: (frame) => (cameraIn(frame) ? null : whyNot(frame)),
    beyondLensWhy: (u, v, frame) => {
      const camera = cameraIn(frame)?.camera;
      return camera && !isWithinReach(fit.lens, camera, u, v) ? BEYOND_LENS : null;
    },
    ...(rolled &&
      slant && {
        shutter: (u: number, v: number, frame: number) => {
          const by = slant(frame, { xPx: u, yPx: v });
          return by[0] || by[1] ? { by, share: rolled } : null;
        },
      }),
    offIceWhy: null,
    noCamera: "This frame has no ice points, and the camera moves.",
    hull,
    acrossWhy: null,
    betweenFramesWhy: null,
    alongWhy: null,
    mostHeadingDeg: null,
  };
}

/** Independent causes of a fit's errors, numbered among the sources as they are first asked for. */
class Causes {
  readonly #fit: MovingFit;
  readonly #widen: number;
  readonly #sources: Sources;
  readonly #shared: readonly number[];
  readonly #own = new Map<number, readonly number[]>();
  readonly #stretches = new Map<number, readonly number[]>();

  constructor(fit: MovingFit, widen: number, sources: Sources) {
    this.#fit = fit;
    this.#widen = widen;
    this.#sources = sources;
    this.#shared = this.#reserve(fit.spread.shared.columns);
  }

  /** One of the parameters that all frames share. */
  common(row: number, unit = 1): Uncertain {
    const parts = this.#fit.spread.shared.getRow(row).map((part) => part * this.#widen * unit);
    return fromParts(0, this.#shared, parts);
  }

  /** A frame's own parameters, by row. */
  ownOf(key: number): (row: number) => Uncertain {
    const { follow, own } = this.#fit.spread.groups[key]!;
    const led = follow.mmul(this.#fit.spread.shared);
    const numbers = [...this.#shared, ...this.#numbersOf(key)];
    return (row) => fromParts(0, numbers, [...this.#row(led, row), ...this.#row(own, row)]);
  }

  /** The same of a frame that the background carries to. */
  carried({ shared, keys, stretch, modes, own }: CarriedCamera): (row: number) => Uncertain {
    const { spread } = this.#fit;
    const led = keys
      .reduce((sum, { key, by }) => sum.add(by.mmul(spread.groups[key]!.follow)), shared.clone())
      .mmul(spread.shared);
    const ends = keys.map(({ key, by }) => ({
      numbers: this.#numbersOf(key),
      parts: by.mmul(spread.groups[key]!.own),
    }));
    const rows = own.length;
    const wander = this.#wanderOf(stretch, modes.length * rows);
    const alone = this.#reserve(rows);
    return (row) =>
      fromParts(
        0,
        [
          ...this.#shared,
          ...ends.flatMap((e) => e.numbers),
          ...modes.map((_, k) => wander[k * rows + row]!),
          alone[row]!,
        ],
        [
          ...this.#row(led, row),
          ...ends.flatMap((e) => this.#row(e.parts, row)),
          ...modes.map((mode) => mode[row]!),
          own[row]!,
        ],
      );
  }

  #row(m: Matrix, row: number): number[] {
    return m.getRow(row).map((part) => part * this.#widen);
  }

  #numbersOf(key: number): readonly number[] {
    const known = this.#own.get(key);
    if (known) return known;
    const made = this.#reserve(this.#fit.spread.groups[key]!.own.columns);
    this.#own.set(key, made);
    return made;
  }

  #wanderOf(stretch: number, count: number): readonly number[] {
    const known = this.#stretches.get(stretch);
    if (known) return known;
    const made = this.#reserve(count);
    this.#stretches.set(stretch, made);
    return made;
  }

  #reserve(count: number): readonly number[] {
    const first = this.#sources.reserve(count);
    return Array.from({ length: count }, (_, k) => first + k);
  }
}

function uncertainCamera(
  fit: MovingFit,
  camera: Camera,
  causes: Causes,
  own: (row: number) => Uncertain,
): UncertainCamera {
  const { zooms, findLens, findsCentre } = fit.model;
  const at = layout(fit.model);
  return {
    camera,
    lens: fit.lens,
    deviations: [
      zooms ? own(3) : causes.common(0),
      ...[0, 1, 2].map(own),
      ...[0, 1, 2].map((k) => causes.common(at.place + k)),
      ...[0, 1].map((k) => (findsCentre ? causes.common(at.centre + k, fit.centre.sdPx) : exactly(0))),
      ...Array.from({ length: findLens }, (_, k) => causes.common(at.lens + k)),
    ],
    at: ([zoom, t0, t1, t2, m0, m1, m2, cx, cy, k1, k2]: readonly number[]) => {
      const moved = nudged(camera, zoom!, [t0!, t1!, t2!], [m0!, m1!, m2!], [cx!, cy!]);
      const lens =
        findLens === 0
          ? fit.lens
          : { k1: fit.lens.k1 + k1!, k2: (fit.lens.k2 ?? 0) + (findLens === 2 ? k2! : 0) };
      return { camera: moved, straighten: (u, v) => undistort(lens, moved, u, v) };
    },
  };
}
