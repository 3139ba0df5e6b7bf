/** What a coach can say of the evening in a minute; text as typed, each may be absent. */
export interface Conditions {
  /** "fresh", "hard, an hour after the machine" */
  readonly ice?: string;
  /** Of the air beside the ice, degrees Celsius. */
  readonly airC?: number;
  /** Hollow, and when they were sharpened. */
  readonly blades?: string;
  /** Skated with a stick, and how it was held. */
  readonly stick?: string;
  readonly timedBy?: string;
}
