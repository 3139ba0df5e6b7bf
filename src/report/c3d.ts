import { MeasureError } from "../errors.ts";

/** One point of a frame, metres; null = missing there. */
export type C3dPoint = { readonly x: number; readonly y: number; readonly z: number } | null;

export interface C3dEvent {
  readonly label: string;
  /** Whose or which side's. */
  readonly context: string;
  /** From frame 1 on. */
  readonly seconds: number;
}

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
  /** In order of time. */
  readonly events?: readonly C3dEvent[];
}

const BLOCK = 512;
/** Intel byte order and IEEE numbers. */
const INTEL = 84;
const KEY = 0x50;
/** Largest count a 16-bit word of the header holds. */
const WORD = 0xffff;
/** Most points, or events, that one byte of a parameter's dimensions counts. */
const BYTE = 255;
/** Header words for events: the key that says labels have four letters, how many, times, labels. Flags of 0 show them. */
const HEADER_EVENTS = {
  key: 0x3039,
  keyWord: 150,
  countWord: 151,
  most: 18,
  times: 153,
  flags: 189,
  labels: 199,
};

type Value =
  | { readonly kind: "text"; readonly lines: readonly string[] }
  | { readonly kind: "int16"; readonly values: readonly number[]; readonly scalar?: true }
  | { readonly kind: "float"; readonly value: number }
  /** Rows of so many numbers each. */
  | { readonly kind: "floats"; readonly across: number; readonly values: readonly number[] };

interface Group {
  readonly name: string;
  readonly parameters: readonly (readonly [name: string, value: Value])[];
}

/**
 * 3-D points as a C3D file: Intel order, floating point, metres. Missing points have residual −1, which the format
 * defines as invalid, so that no reader takes their zeros for a place.
 *
 * @throws {MeasureError} `nothing-to-write` without points or frames; `too-many` beyond what the format counts
 * @see The C3D File Format, c3d.org user guide: header, header events, parameters, EVENT:TIMES, 3D data
 */
export function c3dFile(data: C3dData): Uint8Array {
  const { labels, frames, rate, firstFrame, events = [] } = data;
  if (labels.length === 0 || frames.length === 0) {
    throw new MeasureError(
      "nothing-to-write",
      `c3dFile needs points and frames; got ${labels.length} and ${frames.length}`,
      "There are no points on the ice to write.",
    );
  }
  if (labels.length > BYTE || events.length > BYTE || frames.length > WORD) {
    throw new MeasureError(
      "too-many",
      `c3dFile holds up to ${BYTE} points, ${BYTE} events and ${WORD} frames; got ${labels.length}, ${events.length} and ${frames.length}`,
      `A C3D file holds up to ${WORD} frames and ${BYTE} event frames; shorten the part of the clip that matters.`,
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
  headerEvents(view, events, (firstFrame - 1) / rate);
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

/**
 * The header's own list of events, four letters each, in seconds from the first frame that is in the file; it has room
 * for 18. The EVENT parameters have all, in seconds from frame 1.
 */
function headerEvents(view: DataView, events: readonly C3dEvent[], begin: number): void {
  const { key, keyWord, countWord, most, times, labels } = HEADER_EVENTS;
  const byteOf = (word: number) => 2 * (word - 1);
  const shown = events.slice(0, most);
  view.setUint16(byteOf(keyWord), key, true);
  view.setUint16(byteOf(countWord), shown.length, true);
  shown.forEach(({ label, context, seconds }, k) => {
    view.setFloat32(byteOf(times) + 4 * k, seconds - begin, true);
    // "left blade off" as LBOF.
    const letters = `${context.charAt(0)}${initials(label)}`.toUpperCase().padEnd(4).slice(0, 4);
    ascii(letters).forEach((letter, i) => {
      view.setUint8(byteOf(labels) + 4 * k + i, letter);
    });
  });
}

/** "blade off" as "bof". */
function initials(label: string): string {
  const [first = "", second = ""] = label.split(" ");
  return second === "" ? first.slice(0, 3) : first.charAt(0) + second.slice(0, 2);
}

function parameterSection(data: C3dData, dataBlock: number, blocks: number): Uint8Array {
  const { labels, descriptions, rate, firstFrame, frames, events = [] } = data;
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
      name: "EVENT",
      parameters: [
        ["USED", one(events.length)],
        ["CONTEXTS", text(...events.map((e) => e.context))],
        ["LABELS", text(...events.map((e) => e.label))],
        // Whole minutes, then seconds.
        ["TIMES", { kind: "floats", across: 2, values: events.flatMap((e) => minutes(e.seconds)) }],
      ],
    },
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
  if (value.kind === "floats") {
    const bytes = new Uint8Array(4 * value.values.length);
    const view = new DataView(bytes.buffer);
    value.values.forEach((v, k) => {
      view.setFloat32(4 * k, v, true);
    });
    return [4, 2, value.across, value.values.length / value.across, ...bytes];
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

function minutes(seconds: number): [number, number] {
  const whole = Math.floor(seconds / 60);
  return [whole, seconds - 60 * whole];
}

function int16(value: number): [number, number] {
  return [value & 0xff, (value >> 8) & 0xff];
}

/** The format knows no other letters. */
function ascii(text: string): number[] {
  return [...text].map((letter) => (letter.codePointAt(0)! < 127 ? letter.charCodeAt(0) : 63));
}
