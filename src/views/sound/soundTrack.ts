/** A clip's sound as one channel. */
export interface SoundTrack {
  /** Samples a second. */
  readonly rate: number;
  /** When the first sample was, seconds of the clip's own clock, in which its first picture is at 0; may be negative. */
  readonly begins: number;
  readonly samples: Int16Array;
}
