/** A plain reader of C3D files, written for the tests from the published format; Intel order only. */
interface Parameter {
  readonly type: number;
  readonly dimensions: readonly number[];
  readonly at: number;
}

export interface ReadPoint {
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly residual: number;
}

export interface ReadC3d {
  readonly firstFrame: number;
  readonly lastFrame: number;
  readonly headerRate: number;
  readonly frames: readonly (readonly ReadPoint[])[];
  /** The header's own list: seconds from the first frame in the file. */
  readonly headerEvents: readonly { readonly label: string; readonly seconds: number }[];
  number(group: string, name: string): number;
  /** All numbers of a floating-point parameter. */
  numbers(group: string, name: string): number[];
  text(group: string, name: string): string[];
}

export function readC3d(file: Uint8Array): ReadC3d {
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  const word = (n: number) => view.getUint16((n - 1) * 2, true);
  if (file[1] !== 0x50) throw new Error("no C3D file");
  const start = (file[0]! - 1) * 512;
  if (file[start + 3] !== 84) throw new Error(`byte order ${file[start + 3]} is not read here`);

  const groups = new Map<number, string>();
  const parameters = new Map<string, Parameter>();
  const pending: { group: number; name: string; parameter: Parameter }[] = [];
  for (let at = start + 4; ; ) {
    const length = Math.abs(view.getInt8(at));
    if (length === 0) break;
    const id = view.getInt8(at + 1);
    const name = letters(at + 2, length);
    const offsetAt = at + 2 + length;
    const offset = view.getInt16(offsetAt, true);
    if (id < 0) groups.set(-id, name);
    else {
      const body = offsetAt + 2;
      const count = view.getUint8(body + 1);
      const dimensions = Array.from({ length: count }, (_, k) => view.getUint8(body + 2 + k));
      pending.push({
        group: id,
        name,
        parameter: { type: view.getInt8(body), dimensions, at: body + 2 + count },
      });
    }
    if (offset === 0) break;
    at = offsetAt + offset;
  }
  for (const { group, name, parameter } of pending) parameters.set(`${groups.get(group)}:${name}`, parameter);

  const find = (group: string, name: string): Parameter => {
    const found = parameters.get(`${group}:${name}`);
    if (!found) throw new Error(`no parameter ${group}:${name}`);
    return found;
  };
  const number = (group: string, name: string): number => {
    const { type, at } = find(group, name);
    return type === 4 ? view.getFloat32(at, true) : type === 2 ? view.getInt16(at, true) : view.getInt8(at);
  };
  const numbers = (group: string, name: string): number[] => {
    const { type, dimensions, at } = find(group, name);
    if (type !== 4) throw new Error(`${group}:${name} is not floating-point`);
    const count = dimensions.reduce((all, n) => all * n, 1);
    return Array.from({ length: count }, (_, k) => view.getFloat32(at + 4 * k, true));
  };
  const text = (group: string, name: string): string[] => {
    const { dimensions, at } = find(group, name);
    const [width = 0, lines = 1] = dimensions;
    return Array.from({ length: lines }, (_, k) => letters(at + k * width, width).trimEnd());
  };

  const points = word(2);
  const scale = number("POINT", "SCALE");
  if (!(scale < 0)) throw new Error("only floating-point data are read here");
  const count = number("POINT", "FRAMES");
  let at = (number("POINT", "DATA_START") - 1) * 512;
  if (number("POINT", "DATA_START") !== word(9)) throw new Error("header and parameters disagree");
  const frames = Array.from({ length: count }, () =>
    Array.from({ length: points }, (): ReadPoint => {
      const [x, y, z, residual] = [0, 4, 8, 12].map((step) => view.getFloat32(at + step, true));
      at += 16;
      return { x: x!, y: y!, z: z!, residual: residual! };
    }),
  );
  return {
    firstFrame: word(4),
    lastFrame: word(5),
    headerRate: view.getFloat32(20, true),
    frames,
    // Word 150 = 12345: labels of four letters; 151 how many; from 153 times; from 199 labels.
    headerEvents:
      word(150) === 12345
        ? Array.from({ length: word(151) }, (_, k) => ({
            seconds: view.getFloat32(2 * 152 + 4 * k, true),
            label: letters(2 * 198 + 4 * k, 4),
          }))
        : [],
    number,
    numbers,
    text,
  };

  function letters(from: number, length: number): string {
    return String.fromCharCode(...file.subarray(from, from + length));
  }
}
