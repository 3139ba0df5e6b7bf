/**
 * The one error the core throws for input that cannot give what was asked.
 *
 * `code` is for programs, `message` for developers (function, need, offender, units), `coach` for the person
 * at the bench: what is wrong and what to do. Any other error class is a bug and stays loud.
 */
export class MeasureError extends Error {
  readonly code: string;
  readonly coach: string;
  readonly data: Readonly<Record<string, unknown>>;

  constructor(code: string, message: string, coach: string, data: Readonly<Record<string, unknown>> = {}) {
    super(message);
    this.name = "MeasureError";
    this.code = code;
    this.coach = coach;
    this.data = data;
  }
}
