/** How a coded picture is turned for display: first mirrored left to right, then turned. */
export interface Turn {
  /** Degrees clockwise. */
  readonly rotation: 0 | 90 | 180 | 270;
  readonly mirrored: boolean;
}

/** Reads parts of a file; less than asked for at its end. */
export type ReadAt = (at: number, length: number) => Promise<Buffer>;
