/** Radial lens coefficients on normalised image coordinates, principal point at the picture's centre. */
export interface Lens {
  readonly k1: number;
  readonly k2?: number;
}

/**
 * How the camera of a clip without ice points enough of its own looks, by another clip of its set-up: where the background of that
 * clip's frame is seen in one of this one, at the picture's centre (`dxPx` > 0 right, `dyPx` > 0 down, `turnDeg` > 0 clockwise).
 */
export interface LikeClip {
  /** Trial whose clip it is. */
  readonly trial: string;
  /** `said`: the same, by somebody's word; `looked`: somebody has looked at it here; `background`: found in the pictures. */
  readonly by: "said" | "looked" | "background";
  /** Absent = the same. */
  readonly dxPx?: number;
  readonly dyPx?: number;
  readonly turnDeg?: number;
  /** Standard uncertainty of each, px (of the turn: at a typical place of the picture). */
  readonly uPx?: number;
}

/** A trial whose clip was filmed with a set-up. Ice points marked on it stand in its own marks. */
export interface SetupTrial {
  readonly trial: string;
  /** Absent = its own ice points tell, two or more. */
  readonly like?: LikeClip;
}

/** One camera standing in one place with one lens: ice points marked on any of its clips serve all of them. */
export interface CameraSetup {
  readonly id: string;
  readonly name: string;
  /** What camera it is, as typed. */
  readonly camera?: string;
  readonly lens?: Lens;
  readonly trials: readonly SetupTrial[];
}

/**
 * How a lens bends the picture. A place at a distance r from the picture's centre, in half diagonals, would be seen through a lens that
 * bends nothing at r / (1 + second r² + fourth r⁴), in the same direction; both are below 0 where straight lines bulge outwards. Beyond the
 * corners it goes on straight.
 */
export interface Bend {
  readonly second: number;
  readonly fourth: number;
}

/** The same as a pan has shown it. */
export interface LearnedBend extends Bend {
  /** Standard uncertainty of where the picture lies by what is left open of it, px a px panned. */
  readonly drift: number;
}

/**
 * How the picture of a clip moves by its own background, as it was found once: what an ice point pressed on one frame is worth on
 * another rests on it.
 */
export interface ClipMotion {
  /** Clip it was found on. */
  readonly clip: string;
  /** Whether the camera stood still; null = the background did not tell. */
  readonly still: boolean | null;
  /** Standard deviation of one coordinate of a frame by the method itself, px. */
  readonly noisePx: number | null;
  /** The frame the first entry of `frames` is about. */
  readonly first: number;
  /**
   * A frame an entry, none of a camera that stood still: the first eight numbers of the map from the first frame to this one, row by
   * row (the ninth is 1), then the standard uncertainties of where it lies and of turn and growth at a typical place, px. null = not told.
   * With `bend` the map is of both pictures straightened.
   */
  readonly frames: readonly (readonly number[] | null)[];
  /** Knocks: the first frame after each, and how far the picture jumped at its centre. */
  readonly bumps: readonly { readonly frame: number; readonly dxPx: number; readonly dyPx: number }[];
  /** Of a pan through a lens that bends the picture; absent = none that could be seen. */
  readonly bend?: LearnedBend;
}

/**
 * Where a camera is to stand, tried out before filming: place and height in metres of the ice frame, the point
 * of the ice in the middle of its picture, the lens from side to side, the picture and its rate.
 */
export interface CameraPlan {
  readonly x: number;
  readonly y: number;
  readonly height: number;
  readonly aimX: number;
  readonly aimY: number;
  readonly hfovDeg: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly fps: number;
}
