/** What to do next for the scale, in words. */
export interface ScaleAdvice {
  readonly title: string;
  readonly hint: string;
  /** Enough is marked to go on to the strides. */
  readonly done: boolean;
}
