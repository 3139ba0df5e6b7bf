/**
 * Thrown inside the core when one quantity cannot be measured; `measureTrial` turns it into a reading with `why`.
 * `why` is a sentence for the coach: the reason and, where there is one, what to do.
 *
 * Not an Error: it is an ordinary answer, never leaves the core, and collecting a stack for each would take
 * longer than the measuring.
 */
export class Unmeasurable {
  readonly why: string;

  constructor(why: string) {
    this.why = why;
  }
}
