/** A pinhole camera with radial lens terms, written from first principles for the validation alone. */
export interface Filmer {
  readonly width: number;
  readonly height: number;
  readonly focal: number;
  /** Optical centre, metres in the ice frame. */
  readonly at: Vec;
  /** Unit vectors of the picture in the ice frame: to its right, down, and into the scene. */
  readonly right: Vec;
  readonly down: Vec;
  readonly into: Vec;
  readonly k1: number;
  readonly k2: number;
  /**
   * Of a lens that keeps angles rather than lines, w: seen at a radius of atan(w r) / w (Devernay and Faugeras 2001, Machine Vision and
   * Applications 13, 14-24; at w = 1 equidistant). Then k1 and k2 are not used.
   */
  readonly angles?: number;
  /** Where stabilisation moves the whole picture to, px; absent = nowhere. */
  readonly shift?: readonly [number, number];
  /** A rolling shutter: the camera as it was while a row (px from the top) was read; absent = all rows at once. */
  readonly row?: (y: number) => Filmer;
}

export type Vec = readonly [x: number, y: number, z: number];

export const minus = (a: Vec, b: Vec): Vec => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const inner = (a: Vec, b: Vec): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const size = (a: Vec): number => Math.sqrt(inner(a, a));
/** a + share × b */
export const beyond = (a: Vec, b: Vec, share: number): Vec => [
  a[0] + share * b[0],
  a[1] + share * b[1],
  a[2] + share * b[2],
];
const cross = (a: Vec, b: Vec): Vec => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const unit = (a: Vec): Vec => beyond([0, 0, 0], a, 1 / size(a));

/** A camera at `at` that looks at `aim`, its horizon tilted by `roll` (rad). */
export function filmer(
  at: Vec,
  aim: Vec,
  hfovDeg: number,
  more: {
    roll?: number;
    k1?: number;
    k2?: number;
    angles?: number | undefined;
    width?: number;
    height?: number;
  } = {},
): Filmer {
  const { roll = 0, k1 = 0, k2 = 0, angles, width = 1920, height = 1080 } = more;
  const into = unit(minus(aim, at));
  const level = unit(cross(into, [0, 0, 1]));
  const below = cross(into, level);
  const [c, s] = [Math.cos(roll), Math.sin(roll)];
  return {
    width,
    height,
    focal: width / 2 / Math.tan((hfovDeg * Math.PI) / 360),
    at,
    right: beyond([c * level[0], c * level[1], c * level[2]], below, s),
    down: beyond([c * below[0], c * below[1], c * below[2]], level, -s),
    into,
    k1,
    k2,
    ...(angles !== undefined && { angles }),
  };
}

/** How many times as far from the axis a lens shows what a pinhole would show at a radius of the root of `r2`, in focal lengths. */
export function bending({ k1, k2, angles }: Filmer, r2: number): number {
  if (angles !== undefined) {
    const r = angles * Math.sqrt(r2);
    return r > 0 ? Math.atan(r) / r : 1;
  }
  // Brown (1966), Photogrammetric Engineering 32, 444-462: radial terms on coordinates divided by the focal length.
  return 1 + k1 * r2 + k2 * r2 * r2;
}

/** Where a point of the ice frame appears, px: x right, y down, the centre of the top-left pixel at (0, 0). Null behind the camera and far beside it. */
export function see(f: Filmer, p: Vec): readonly [x: number, y: number] | null {
  let at = seeAtOnce(f, p);
  // Which row shows it depends on where it is seen, and that on the row: it changes by a hundredth of that each time.
  for (let round = 0; f.row && at && round < 6; round++) at = seeAtOnce(f.row(at[1]), p);
  return at && f.shift ? [at[0] + f.shift[0], at[1] + f.shift[1]] : at;
}

function seeAtOnce(f: Filmer, p: Vec): readonly [x: number, y: number] | null {
  const from = minus(p, f.at);
  const depth = inner(from, f.into);
  if (depth < 0.1) return null;
  const x = inner(from, f.right) / depth;
  const y = inner(from, f.down) / depth;
  const r2 = x * x + y * y;
  // Beyond 60° off the axis no glass is meant by these terms, and they would fold far points back into the picture.
  if (r2 > 3) return null;
  const bent = bending(f, r2);
  return [(f.width - 1) / 2 + f.focal * x * bent, (f.height - 1) / 2 + f.focal * y * bent];
}

/** Inside the picture by at least `margin` px. */
export function inPicture(f: Filmer, at: readonly [number, number] | null, margin = 0): boolean {
  if (!at) return false;
  const [x, y] = at;
  return x >= margin && y >= margin && x <= f.width - 1 - margin && y <= f.height - 1 - margin;
}

/** The camera turned by small angles (rad) about its own axes: for derivatives. */
export function turned(f: Filmer, about: Vec): Filmer {
  const angle = size(about);
  if (angle === 0) return f;
  const axis = unit([
    about[0] * f.right[0] + about[1] * f.down[0] + about[2] * f.into[0],
    about[0] * f.right[1] + about[1] * f.down[1] + about[2] * f.into[1],
    about[0] * f.right[2] + about[1] * f.down[2] + about[2] * f.into[2],
  ]);
  // Rodrigues' rotation.
  const spin = (v: Vec): Vec => {
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    const side = cross(axis, v);
    const share = inner(axis, v) * (1 - c);
    return [
      v[0] * c + side[0] * s + axis[0] * share,
      v[1] * c + side[1] * s + axis[1] * share,
      v[2] * c + side[2] * s + axis[2] * share,
    ];
  };
  return { ...f, right: spin(f.right), down: spin(f.down), into: spin(f.into) };
}
