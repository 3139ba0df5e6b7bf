import type { Uncertain } from "../../uncertainty/uncertain.ts";

/** One quantity of one stride before it is judged and turned into a reading. */
export interface Quantity {
  /** At the time of the event. */
  readonly value: Uncertain;
  /** At the marked frames; positions only. */
  readonly atFrame?: Uncertain;
  /** Half-width of the 95 % interval where it is known better than from a normal distribution. */
  readonly u95?: number;
}
