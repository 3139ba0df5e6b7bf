import type { MeasureInput } from "../../src/kinematics/types.ts";
import type { Warning } from "../../src/reading.ts";
import { DEFAULT_MARK_SD_PX } from "../../src/study/newStudy.ts";
import {
  readEventsCsv,
  readIcePointFramesCsv,
  readIcePointsCsv,
  readKnownLengthCsv,
  readMarksCsv,
} from "../../src/study/tables.ts";
import type { Body, IceReference } from "../../src/study/types.ts";
import { measureViews } from "../../src/views/measureViews.ts";
import { type Io, UsageError } from "./Command.ts";
import { frameClock } from "./frameClock.ts";
import { lagsOf } from "./heardLags.ts";
import { bodyOption, pictureOption, positiveOption } from "./measureOptions.ts";
import { numberOption } from "./options.ts";
import { readTableFile } from "./tables.ts";
import { tellViews } from "./viewsText.ts";

/** What stands in one `--view`. */
const KEYS = [
  "marks",
  "events",
  "ice",
  "ice-frames",
  "known-length",
  "picture",
  "lens",
  "speed-factor",
  "mark-sd",
  "sound",
] as const;
type Key = (typeof KEYS)[number];
type ViewOption = Readonly<Partial<Record<Key, string>>>;

const REFERENCES = ["ice", "ice-frames", "known-length"] as const;

/** Two or more views of one trial, as `measure --view K=V,… --view …` gives them. @returns the exit status */
export async function measureViewOptions(
  options: readonly string[],
  { body, json }: { readonly body: string | undefined; readonly json: boolean },
  io: Io,
): Promise<number> {
  const views = options.map(viewOption);
  if (views.length < 2)
    throw new UsageError(
      "--view is for two views or more; measure one by --marks, --events and its ice reference.",
    );
  const own = body === undefined ? {} : bodyOption(body);
  const read = views.map((view, v) => checked(view, v + 1));
  const deaf = read.slice(1).findIndex(({ sound }) => sound !== null);
  if (deaf >= 0 && read[0]!.sound === null)
    throw new UsageError(
      `--view ${deaf + 2} gives sound=, but --view 1 does not: it is the first one's sound that others are laid over.`,
    );
  const inputs: MeasureInput[] = [];
  const clocks: Warning[] = [];
  for (const [v, view] of read.entries()) {
    const { input, warnings } = await inputOf(view, own);
    inputs.push(input);
    clocks.push(...warnings.map(({ code, text }) => ({ code, text: `View ${v + 1}: ${text}` })));
  }
  const found = measureViews(
    inputs,
    await lagsOf(
      inputs,
      read.map(({ sound }) => sound),
    ),
  );
  const readings = { ...found.readings, warnings: [...found.readings.warnings, ...clocks] };
  tellViews({ ...found, readings }, json, io);
  if (found.views.some(({ scale }) => scale !== null)) return 0;
  io.say(`No view has a scale of the ice. ${found.views[0]!.scaleWhy}`);
  return 1;
}

/** `marks=F,events=F,…` @throws {UsageError} */
function viewOption(text: string, at: number): ViewOption {
  const view: Partial<Record<Key, string>> = {};
  for (const part of text.split(",")) {
    const equals = part.indexOf("=");
    const name = (equals < 0 ? part : part.slice(0, equals)).trim();
    const value = equals < 0 ? "" : part.slice(equals + 1).trim();
    const key = KEYS.find((known) => known === name);
    if (!key || value === "")
      throw new UsageError(`--view ${at + 1} knows ${KEYS.join(", ")}, each as name=value; not "${part}".`);
    if (key in view) throw new UsageError(`--view ${at + 1} gives ${key} twice.`);
    view[key] = value;
  }
  return view;
}

interface CheckedView {
  readonly marks: string;
  readonly events: string;
  readonly reference: readonly [(typeof REFERENCES)[number], string];
  readonly sound: string | null;
  readonly rest: Pick<MeasureInput, "picture" | "speedFactor" | "markSdPx" | "markSdIsKnown" | "lens">;
}

/** Everything that can be wrong before a file is read. @throws {UsageError} */
function checked(view: ViewOption, number: number): CheckedView {
  const need = (key: "marks" | "events" | "picture") => {
    const given = view[key];
    if (given === undefined) throw new UsageError(`--view ${number} needs ${key}=.`);
    return given;
  };
  const [marks, events, picture] = [need("marks"), need("events"), need("picture")];
  const given = REFERENCES.flatMap((name) => {
    const file = view[name];
    return file === undefined ? [] : [[name, file] as const];
  });
  const [reference] = given;
  if (!reference || given.length > 1)
    throw new UsageError(`--view ${number} needs exactly one of ice=, ice-frames= and known-length=.`);
  const { lens, "speed-factor": factor, "mark-sd": sd } = view;
  const positive = (name: string, text: string) => positiveOption(`--view ${number} ${name}`, text);
  return {
    ...{ marks, events, reference, sound: view.sound ?? null },
    rest: {
      picture: named(number, () => pictureOption(picture)),
      speedFactor: factor === undefined ? 1 : positive("speed-factor", factor),
      markSdPx: sd === undefined ? DEFAULT_MARK_SD_PX : positive("mark-sd", sd),
      ...(sd !== undefined && { markSdIsKnown: true }),
      ...(lens !== undefined && { lens: viewLens(number, lens) }),
    },
  };
}

/** A complaint about an option of its own, said of this view. */
function named<T>(number: number, read: () => T): T {
  try {
    return read();
  } catch (error) {
    if (!(error instanceof UsageError)) throw error;
    throw new UsageError(`--view ${number}: ${error.message}`);
  }
}

/** `K1[:K2]`: a comma would end the pair. */
function viewLens(number: number, text: string) {
  const [k1 = "", k2, ...more] = text.split(":");
  if (more.length > 0) throw new UsageError(`--view ${number} lens needs K1 or K1:K2, not "${text}".`);
  const first = numberOption(`--view ${number} lens K1`, k1);
  return k2 === undefined ? { k1: first } : { k1: first, k2: numberOption(`--view ${number} lens K2`, k2) };
}

async function inputOf(
  { marks: marksFile, events: eventsFile, reference, rest }: CheckedView,
  body: Body,
): Promise<{ readonly input: MeasureInput; readonly warnings: readonly Warning[] }> {
  const iceReference = await referenceFrom(reference);
  const marks = await readTableFile(marksFile, readMarksCsv);
  const clock = frameClock(marks);
  const events = await readTableFile(eventsFile, (text) => readEventsCsv(text, clock.timeOf));
  return {
    input: { marks, events, iceReference, frameInterval: null, body, ...rest },
    warnings: clock.warnings(),
  };
}

async function referenceFrom([kind, file]: CheckedView["reference"]): Promise<IceReference> {
  if (kind === "ice") return { kind: "ice-points", points: await readTableFile(file, readIcePointsCsv) };
  if (kind === "known-length")
    return { kind: "known-lengths", lengths: await readTableFile(file, readKnownLengthCsv) };
  return { kind: "ice-points-by-frame", frames: await readTableFile(file, readIcePointFramesCsv) };
}
