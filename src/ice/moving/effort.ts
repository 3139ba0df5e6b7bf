/**
 * How much work may go into a joint fit, counted in ice points seen through a camera: the same on every machine. Points
 * that belong together take a part of it; points that do not could keep a fit searching for a minute.
 */
export class Effort {
  private readonly most: number;
  private used = 0;

  constructor(most: number) {
    this.most = most;
  }

  spend(points: number): void {
    this.used += points;
  }

  get spent(): number {
    return this.used;
  }

  get isSpent(): boolean {
    return this.used >= this.most;
  }

  /** As much once more, for a fit that must not go without because another one found no end. */
  again(): Effort {
    return new Effort(this.most);
  }
}

/**
 * For each ice point, of a search with one focal length and again of one with a zoom. In 44 simulated clips both took 2,000 at most (one
 * focal length, where it does, 550); of a zoom whose background was followed the first, which can't fit, took all of it.
 */
export const SEARCH_EFFORT = 3000;
export const LENS_EFFORT = 1000;
export const BLAME_EFFORT = 1000;

export function pointsIn(frames: readonly { readonly points: readonly unknown[] }[]): number {
  return frames.reduce((sum, { points }) => sum + points.length, 0);
}
