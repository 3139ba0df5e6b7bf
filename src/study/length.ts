/** Lengths as people type them, in metres. The factors are mathjs's (international foot 0.3048 m, exact). */
import { create, unitDependencies } from "mathjs";
import { MeasureError } from "../errors.ts";

/** Made when a length is first read: making it takes longer than a window should wait to open. */
let mathjs: ReturnType<typeof create> | null = null;

function unit(value: number, name: string) {
  mathjs ??= create({ unitDependencies: unitDependencies! });
  return mathjs.unit(value, name);
}

/** What a person may write → mathjs's name of the unit, and the system the length is shown in again. */
const UNITS: Readonly<Record<string, { readonly name: string; readonly shown: "m" | "ft" }>> = {
  m: { name: "m", shown: "m" },
  metre: { name: "m", shown: "m" },
  metres: { name: "m", shown: "m" },
  meter: { name: "m", shown: "m" },
  meters: { name: "m", shown: "m" },
  cm: { name: "cm", shown: "m" },
  mm: { name: "mm", shown: "m" },
  ft: { name: "ft", shown: "ft" },
  foot: { name: "ft", shown: "ft" },
  feet: { name: "ft", shown: "ft" },
  "'": { name: "ft", shown: "ft" },
  "′": { name: "ft", shown: "ft" },
  in: { name: "in", shown: "ft" },
  inch: { name: "in", shown: "ft" },
  inches: { name: "in", shown: "ft" },
  '"': { name: "in", shown: "ft" },
  "″": { name: "in", shown: "ft" },
  yd: { name: "yd", shown: "ft" },
  yard: { name: "yd", shown: "ft" },
  yards: { name: "yd", shown: "ft" },
};

export interface Length {
  readonly metres: number;
  /** The system it was typed in, for showing it again. */
  readonly unit: "m" | "ft";
}

/**
 * A typed length: "30", "30 m", "7,5 m", "98 ft", "98 ft 5 in", `98' 5"`, "36 yd". A comma is a decimal comma; only with feet,
 * inches and yards three digits after it may be thousands, and nothing is guessed.
 *
 * @param bare the unit of a number without one
 * @throws {MeasureError} `bad-length`
 * @example readLength("98 ft 5 in", "m") // { metres: 29.9974, unit: "ft" }
 */
export function readLength(text: string, bare: "m" | "ft"): Length {
  const typed = text.trim().toLowerCase();
  const parts = [...typed.matchAll(/(\d+(?:[.,]\d*)?|[.,]\d+)\s*([a-z]+|['"′″])?\s*/gy)];
  const read = parts.map(([, number = "", name]) => ({
    value: Number(number.replace(",", ".")),
    unit: UNITS[name ?? bare],
    bare: !name,
    thousands: /,\d{3}$/.test(number),
  }));
  const whole = parts.map(([all]) => all).join("") === typed;
  const unclear = read.some((p) => p.thousands && p.unit?.shown === "ft");
  if (
    read.length === 0 ||
    !whole ||
    unclear ||
    read.some((p) => !p.unit) ||
    (read.length > 1 && read.some((p) => p.bare))
  ) {
    const comma = unclear
      ? " With a comma before three digits it may be thousands or a decimal: write it without the comma, or with a point."
      : "";
    throw new MeasureError(
      "bad-length",
      `readLength needs a number with m, cm, ft, in or yd; got "${text}"`,
      `"${text}" is not a length. Write it like 30, 30 m, 98 ft, 98 ft 5 in or 36 yd.${comma}`,
      { text },
    );
  }
  // Parts are added in the smallest unit, so that 98 ft 5 in is 1181 x 0.0254 and not a sum of rounded metres.
  const finest = read.at(-1)!.unit!.name;
  const sum = read.reduce((total, p) => total + unit(p.value, p.unit!.name).toNumber(finest), 0);
  return { metres: clean(unit(clean(sum), finest).toNumber("m")), unit: read[0]!.unit!.shown };
}

/** Between lengths. A comma with a digit right after it is a decimal comma. */
const SEPARATOR = /;|,\s+|\s+and\s+/;

/**
 * Several typed lengths, metres: "0 m; 15 m; 30 m", "0; 7,5; 30", "0, 30", "0 and 30". "0,30" alone may be one length or two,
 * and is asked about.
 *
 * @throws {MeasureError} `bad-length`
 */
export function readLengths(text: string, bare: "m" | "ft"): number[] {
  const parts = text.split(SEPARATOR).filter((part) => part.trim() !== "");
  if (parts.length === 1 && /\d,\d/.test(text)) {
    throw new MeasureError(
      "bad-length",
      `readLengths cannot tell whether the comma of "${text}" is a decimal comma`,
      `"${text}" may be one length or two. Write one alone with a decimal point. Several: 0 m; 15 m; 30 m.`,
      { text },
    );
  }
  return parts.map((part) => {
    try {
      return readLength(part, bare).metres;
    } catch (error) {
      if (!(error instanceof MeasureError) || parts.length > 1) throw error;
      throw new MeasureError(error.code, error.message, `${error.coach} Several: 0 m; 15 m; 30 m.`, { text });
    }
  });
}

/** "30 m", "98 ft 5 in"; inches to a hundredth. */
export function lengthText(metres: number, shown: "m" | "ft"): string {
  if (shown === "m") return `${Number(metres.toFixed(3))} m`;
  const inches = Number(unit(metres, "m").toNumber("in").toFixed(2));
  const feet = Math.floor(inches / 12);
  const rest = Number((inches - 12 * feet).toFixed(2));
  if (rest === 0) return `${feet} ft`;
  return feet === 0 ? `${rest} in` : `${feet} ft ${rest} in`;
}

/** Takes off the last bits of binary rounding (29.870400000000004), far below anything measured. */
function clean(value: number): number {
  return Number(value.toPrecision(14));
}

/**
 * A length that may have a minus before it, metres.
 *
 * @throws {MeasureError} `bad-length`
 */
export function readSignedLength(text: string, unit: "m" | "ft"): number {
  const minus = /^\s*[-−]/;
  const { metres } = readLength(text.replace(minus, ""), unit);
  return minus.test(text) ? -metres : metres;
}
