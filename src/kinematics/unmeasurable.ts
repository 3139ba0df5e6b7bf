/**
 * Thrown inside the core when one quantity cannot be had; `measureTrial` turns it into a reading with `why`.
 * `why` is a sentence for the coach: the reason and, where there is one, what to do.
 */
export class Unmeasurable extends Error {
  readonly why: string;

  constructor(why: string) {
    super(why);
    this.name = "Unmeasurable";
    this.why = why;
  }
}
