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
