import { type Calculation, contributions, type Spread, type Uncertain, UncertainNode } from "./graph.ts";

/**
 * Several numbers that many values are linear in, all of them at once, such as what a camera's fit leaves open. What a value
 * owes to their causes is added up once, when it is made, and not again each time its uncertainty is asked for.
 */
export class Together {
  private readonly sources: readonly number[];
  /** By number: what it owes to each of the sources. */
  private readonly rows: readonly (readonly number[])[];

  constructor(numbers: readonly Uncertain[]) {
    const owed = numbers.map(contributions);
    this.sources = [...new Set(owed.flatMap((parts) => [...parts.keys()]))];
    this.rows = owed.map((parts) => this.sources.map((source) => parts.get(source) ?? 0));
  }

  /**
   * A value that is linear in some inputs of its own and in these numbers.
   *
   * @param slopes for these numbers, in their order
   */
  linear(
    value: number,
    own: readonly (readonly [slope: number, input: Uncertain])[],
    slopes: readonly number[],
    exact: Calculation,
    pick: number,
  ): Uncertain {
    return new UncertainNode(
      value,
      this.sources.length === 0 ? null : this.spreadOf(slopes),
      own.map(([, input]) => input as UncertainNode),
      own.map(([slope]) => slope),
      { calculation: exact, pick },
    );
  }

  private spreadOf(slopes: readonly number[]): Spread {
    const parts = new Array<number>(this.sources.length).fill(0);
    this.rows.forEach((row, k) => {
      const slope = slopes[k]!;
      if (slope === 0) return;
      for (let s = 0; s < parts.length; s++) parts[s]! += slope * row[s]!;
    });
    return { sources: this.sources, parts, shapes: null };
  }
}
