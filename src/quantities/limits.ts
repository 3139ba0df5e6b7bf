/** Half the difference between a close and an open recovery: beyond it a reading can't tell which it is. */
export const WIDEST_U95 = 0.11;
/** A width or a length is worth showing up to this share of itself. */
export const WIDEST_SHARE = 0.1;

/** Whether a reading is too doubtful to be shown: the widest u95 allowed for its value. */
export type Limit = (value: number) => number;

export const positionLimit: Limit = () => WIDEST_U95;
export const widthLimit: Limit = (value) => Math.max(WIDEST_U95, WIDEST_SHARE * Math.abs(value));
/** A tenth of an ordinary stride; fixed, so that long strides are not shown sooner than short ones. */
export const lengthLimit: Limit = () => 0.25;
/** Beyond this an angle does not tell along from across. */
export const angleLimit: Limit = () => 45;

/** What a quantity can be at all. */
export interface Possible {
  readonly min: number;
  readonly max: number;
  readonly unit: "m" | "m/s" | "pushes a second";
}

/** Beyond these no skater gets, however the marks may look: a leg is about 1 m long. [judgement, wide on purpose] */
export const ACROSS: Possible = { min: -1.3, max: 1.3, unit: "m" };
/** In one frame. */
export const APART: Possible = { min: -1.5, max: 2.2, unit: "m" };
/** The skater moves across between the frames too. */
export const BETWEEN_BLADES: Possible = { min: -1.5, max: 3, unit: "m" };
