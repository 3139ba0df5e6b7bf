/** The truth beside a clip of the timing display: sample-clips/README.md. */
export interface ClockTruth {
  readonly clip: string;
  readonly frames: number;
  readonly fps_true: number;
  readonly picture: readonly [number, number];
  readonly stopped_s: number;
  readonly first_still_frame: number;
  readonly figures: readonly {
    readonly shows: number;
    readonly bar_middles_px: Readonly<Record<string, readonly [number, number]>>;
  }[];
}

/** Bars a to g from the most significant bit, of the figures 0 to 9: common practice of seven-segment decoders [memory]. */
const CODES = [0x7e, 0x30, 0x6d, 0x79, 0x33, 0x5b, 0x5f, 0x70, 0x7f, 0x7b];

/**
 * What a display shows, "?" for what is no figure.
 *
 * @param bright how bright a pixel is, of whatever makes lit bars bright
 * @param lit from here on a bar is lit
 */
export function readClock(truth: ClockTruth, bright: (x: number, y: number) => number, lit = 180): string {
  const figures = truth.figures.map(({ bar_middles_px: middles }) => {
    const code = [..."abcdefg"].reduce((bits, bar) => {
      const [x, y] = middles[bar]!;
      return 2 * bits + (bright(Math.round(x), Math.round(y)) >= lit ? 1 : 0);
    }, 0);
    const figure = CODES.indexOf(code);
    return figure < 0 ? "?" : String(figure);
  });
  return `${figures[0]}.${figures.slice(1).join("")}`;
}
