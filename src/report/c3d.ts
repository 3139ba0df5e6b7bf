import { MeasureError } from "../errors.ts";

/** One point of a frame, metres; null = missing there. */
export type C3dPoint = { readonly x: number; readonly y: number; readonly z: number } | null;

export interface C3dData {
  readonly labels: readonly string[];
  /** What each point is, beside its label. */
  readonly descriptions: readonly string[];
  /** Frames a second. */
  readonly rate: number;
  /** Number of the first frame; the format counts from 1. */
  readonly firstFrame: number;
  /** One entry a frame, in it one point a label. */
  readonly frames: readonly (readonly C3dPoint[])[];
}

const BLOCK = 512;
/** Intel byte order and IEEE numbers. */
const INTEL = 84;
const KEY = 0x50;
/** Largest count a 16-bit word of the header holds. */
const WORD = 0xffff;

type Value =
  | { readonly kind: "text"; readonly lines: readonly string[] }
  | { readonly kind: "int16"; readonly values: readonly number[]; readonly scalar?: true }
  | { readonly kind: "float"; readonly value: number };

interface Group {
  readonly name: string;
  readonly parameters: readonly (readonly [name: string, value: Value])[];
}

/**
 * 3-D points as a C3D file: Intel order, floating point, metres. Missing points have residual −1, which the format
 * defines as invalid, so that no reader takes their zeros for a place.
 *
 * @throws {MeasureError} `nothing-to-write` without points or frames; `too-many` beyond what the format counts
 * @see The C3D File Format, c3d.org user guide: header, parameter and 3D data sections
 */
export function c3dFile(data: C3dData): Uint8Array {
  const { labels, frames, rate, firstFrame } = data;
  if (labels.length === 0 || frames.length === 0) {
    throw new MeasureError(
      "nothing-to-write",
      `c3dFile needs points and frames; got ${labels.length} and ${frames.length}`,
      "There are no points on the ice to write.",
    );
  }
  if (labels.length > 255 || frames.length > WORD) {
    throw new MeasureError(
      "too-many",
      `c3dFile holds up to 255 points and ${WORD} frames; got ${labels.length} and ${frames.length}`,
      `A C3D file holds up to ${WORD} frames; shorten the part of the clip that matters.`,
    );
  }
  // The parameters name the block where the data start, which depends on how long they are; the length does not.
  const blocks = Math.ceil(parameterSection(data, 0, 0).length / BLOCK);
  const dataBlock = 2 + blocks;
  const bytes = new Uint8Array(
    BLOCK * (1 + blocks + Math.ceil((frames.length * labels.length * 16) / BLOCK)),
  );
  bytes.set(parameterSection(data, dataBlock, blocks), BLOCK);
  const view = new DataView(bytes.buffer);
  const word = (n: number, value: number) => view.setUint16(2 * (n - 1), value, true);
  bytes[0] = 2;
  bytes[1] = KEY;
  word(2, labels.length);
  word(4, Math.min(firstFrame, WORD));
  word(5, Math.min(firstFrame + frames.length - 1, WORD));
  view.setFloat32(12, -1, true);
  word(9, dataBlock);
  view.setFloat32(20, rate, true);
  let at = BLOCK * (dataBlock - 1);
  for (const frame of frames) {
    for (let k = 0; k < labels.length; k++) {
      const point = frame[k] ?? null;
      const four = point ? [point.x, point.y, point.z, 0] : [0, 0, 0, -1];
      for (const value of four) {
        view.setFloat32(at, value, true);
        at += 4;
      }
    }
  }
  return bytes;
}

function parameterSection(data: C3dData, dataBlock: number, blocks: number): Uint8Array {
  const { labels, descriptions, rate, firstFrame, frames } = data;
  const text = (...lines: string[]): Value => ({ kind: "text", lines });
  const one = (value: number): Value => ({ kind: "int16", values: [value], scalar: true });
  const float = (value: number): Value => ({ kind: "float", value });
  const long = (n: number): Value => ({ kind: "int16", values: [n & WORD, n >>> 16] });
  const groups: readonly Group[] = [
    {
      name: "POINT",
      parameters: [
        ["USED", one(labels.length)],
        ["SCALE", float(-1)],
        ["RATE", float(rate)],
        ["DATA_START", one(dataBlock)],
        ["FRAMES", one(frames.length)],
        ["LABELS", text(...labels)],
        ["DESCRIPTIONS", text(...descriptions)],
        ["UNITS", text("m")],
        ["X_SCREEN", text("+X")],
        ["Y_SCREEN", text("+Z")],
      ],
    },
    {
      name: "ANALOG",
      parameters: [
        ["USED", one(0)],
        ["LABELS", text()],
        ["DESCRIPTIONS", text()],
        ["GEN_SCALE", float(1)],
        ["SCALE", float(1)],
        ["OFFSET", one(0)],
        ["UNITS", text()],
        ["RATE", float(rate)],
      ],
    },
    { name: "FORCE_PLATFORM", parameters: [["USED", one(0)]] },
    {
      name: "TRIAL",
      parameters: [
        ["ACTUAL_START_FIELD", long(firstFrame)],
        ["ACTUAL_END_FIELD", long(firstFrame + frames.length - 1)],
      ],
    },
  ];
  const out: number[] = [1, KEY, blocks, INTEL];
  groups.forEach(({ name, parameters }, g) => {
    // Offset to the next entry, counted from the offset itself: its own two bytes and the empty description.
    out.push(name.length, 256 - (g + 1), ...ascii(name), ...int16(3), 0);
    for (const [key, value] of parameters) {
      const body = [...valueBytes(value), 0];
      out.push(key.length, g + 1, ...ascii(key), ...int16(body.length + 2), ...body);
    }
  });
  out.push(0, 0);
  return Uint8Array.from(out);
}

/** Type, dimensions and content of a parameter. */
function valueBytes(value: Value): number[] {
  if (value.kind === "float") {
    const bytes = new Uint8Array(4);
    new DataView(bytes.buffer).setFloat32(0, value.value, true);
    return [4, 0, ...bytes];
  }
  if (value.kind === "int16") {
    const content = value.values.flatMap(int16);
    return value.scalar ? [2, 0, ...content] : [2, 1, value.values.length, ...content];
  }
  const width = Math.min(127, Math.max(1, ...value.lines.map((l) => l.length)));
  return [
    255,
    2,
    width,
    value.lines.length,
    ...value.lines.flatMap((l) => ascii(l.slice(0, width).padEnd(width))),
  ];
}

function int16(value: number): [number, number] {
  return [value & 0xff, (value >> 8) & 0xff];
}

/** The format knows no other letters. */
function ascii(text: string): number[] {
  return [...text].map((letter) => (letter.codePointAt(0)! < 127 ? letter.charCodeAt(0) : 63));
}
