import type { MeasureInput } from "../../src/kinematics/types.ts";
import { type Repeats, repeatsOf } from "../../src/marks/markSds.ts";
import { underMotion } from "../../src/motion/steadyReference.ts";
import type { Warning } from "../../src/reading.ts";
import { DEFAULT_MARK_SD_PX } from "../../src/study/newStudy.ts";
import {
  readEventsCsv,
  readIcePointFramesCsv,
  readIcePointsCsv,
  readKnownLengthCsv,
  readMarksCsv,
  readRechecksCsv,
} from "../../src/study/tables.ts";
import { rowsOfTrial, trialsIn } from "../../src/study/trialRows.ts";
import type { Body, IceReference } from "../../src/study/types.ts";
import type { SaidOffset } from "../../src/views/clock/saidClock.ts";
import { measureViews } from "../../src/views/measureViews.ts";
import { type Io, UsageError } from "./Command.ts";
import { frameClock } from "./frameClock.ts";
import { lagsOf } from "./heardLags.ts";
import { bodyOption, pictureOption, positiveOption, shareOption } from "./measureOptions.ts";
import { motionOf } from "./motionFile.ts";
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
  "mark-sd-stated",
  "frame-interval",
  "motion",
  "recheck",
  "readout-share",
  "rows",
  "sound",
  "offset",
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
  if (read[0]!.offset)
    throw new UsageError("--view 1 gives offset=, but its own clock counts: say it of the other view.");
  const inputs: MeasureInput[] = [];
  const clocks: Warning[] = [];
  const studyRepeats = await repeatsIn(read);
  for (const [v, view] of read.entries()) {
    const { input, warnings } = await inputOf(view, own);
    inputs.push({ ...input, ...(studyRepeats && { studyRepeats }) });
    clocks.push(...warnings.map(({ code, text }) => ({ code, text: `View ${v + 1}: ${text}` })));
  }
  const found = measureViews(
    inputs,
    await lagsOf(
      inputs,
      read.map(({ sound }) => sound),
    ),
    read.map(({ offset }) => offset),
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
  readonly offset: SaidOffset | null;
  readonly motion: string | undefined;
  readonly recheck: string | undefined;
  readonly readoutShare: number | undefined;
  /** Which clip's rows, where the tables hold several. */
  readonly rows: string | undefined;
  readonly rest: Pick<
    MeasureInput,
    "picture" | "speedFactor" | "markSdPx" | "markSdIsKnown" | "lens" | "frameInterval"
  >;
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
  const { lens, "speed-factor": factor, "mark-sd": sd, "mark-sd-stated": stated } = view;
  const { sound = null, offset } = view;
  const { motion, recheck, rows, "readout-share": share, "frame-interval": interval } = view;
  if (sd !== undefined && stated !== undefined)
    throw new UsageError(`--view ${number}: give mark-sd or mark-sd-stated, not both.`);
  if (recheck !== undefined && reference[0] !== "ice")
    throw new UsageError(`--view ${number}: recheck= belongs to ice=.`);
  if (share !== undefined && (reference[0] !== "ice-frames" || motion === undefined))
    throw new UsageError(`--view ${number}: readout-share= is of use only with ice-frames= and motion=.`);
  if (sound !== null && offset !== undefined)
    throw new UsageError(
      `--view ${number} gives both offset= and sound=: give one of them to tie its clock.`,
    );
  const positive = (name: string, text: string) => positiveOption(`--view ${number} ${name}`, text);
  const markSd = sd ?? stated;
  return {
    ...{ marks, events, reference, sound, motion, recheck, rows },
    readoutShare: share === undefined ? undefined : shareOption(`--view ${number} readout-share`, share),
    offset: offset === undefined ? null : viewOffset(number, offset),
    rest: {
      picture: named(number, () => pictureOption(picture)),
      speedFactor: factor === undefined ? 1 : positive("speed-factor", factor),
      markSdPx: markSd === undefined ? DEFAULT_MARK_SD_PX : positive("mark-sd", markSd),
      frameInterval: interval === undefined ? null : positive("frame-interval", interval),
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

/** `SECONDS:U95` */
function viewOffset(number: number, text: string): SaidOffset {
  const [value = "", u95, ...more] = text.split(":");
  if (u95 === undefined || more.length > 0)
    throw new UsageError(
      `--view ${number} offset needs SECONDS:U95, what to add to its clock to give that of view 1 and its ± as 2.413:0.02, not "${text}".`,
    );
  return {
    value: numberOption(`--view ${number} offset SECONDS`, value),
    u95: positiveOption(`--view ${number} offset U95`, u95),
  };
}

async function inputOf(
  view: CheckedView,
  body: Body,
): Promise<{ readonly input: MeasureInput; readonly warnings: readonly Warning[] }> {
  const { rest, motion } = view;
  const own = (text: string) => ownRows(text, view);
  const given = await referenceFrom(view);
  const marks = await readTableFile(view.marks, (text) => readMarksCsv(own(text)));
  const clock = frameClock(marks);
  const events = await readTableFile(view.events, (text) => readEventsCsv(own(text), clock.timeOf));
  const found = motion && (await readTableFile(motion, (text) => motionOf(text, rest.picture, own)));
  const { reference: iceReference, steady } = found
    ? underMotion(found, given, rest.picture, rest.markSdPx)
    : { reference: given, steady: undefined };
  return {
    input: { marks, events, iceReference, body, ...(steady && { steady }), ...rest },
    warnings: clock.warnings(),
  };
}

/** What tells the clips of a table apart. */
const tellingColumn = (text: string) => (trialsIn(text, "view").length > 0 ? "view" : "trial");

/** One clip's rows: of a table of trials, or of further views (`TRIAL:2` is the key `TRIAL, view 2`, as a comma would end the pair). */
function ownRows(text: string, { rows }: CheckedView): string {
  if (rows === undefined) return rowsOfTrial(text, null, "trial", "rows=");
  const by = tellingColumn(text);
  return rowsOfTrial(text, by === "view" ? rows.replace(/:(\d+)$/, ", view $1") : rows, by);
}

/** Points marked again anywhere in tables that hold a study's clips tell the marking SD, as in the study. */
async function repeatsIn(views: readonly CheckedView[]): Promise<Repeats | null> {
  const of = (key: "marks" | "ice") =>
    [
      ...new Set(
        views.flatMap(({ rows, marks, reference: [kind, file] }) =>
          rows === undefined ? [] : key === "marks" ? [marks] : kind === "ice" ? [file] : [],
        ),
      ),
    ].sort();
  const all = async <T>(files: readonly string[], read: (text: string) => T) =>
    Promise.all(
      files.map((file) =>
        readTableFile(file, (text) => {
          const by = tellingColumn(text);
          return trialsIn(text, by).map((clip) => read(rowsOfTrial(text, clip, by)));
        }),
      ),
    );
  const marks = (await all(of("marks"), readMarksCsv)).flat();
  if (marks.length < 2) return null;
  const points = (await all(of("ice"), readIcePointsCsv)).flat();
  return repeatsOf(
    marks,
    points.map((own): IceReference => ({ kind: "ice-points", points: own })),
  );
}

async function referenceFrom(view: CheckedView): Promise<IceReference> {
  const [kind, file] = view.reference;
  const own = (text: string) => ownRows(text, view);
  if (kind === "known-length")
    return {
      kind: "known-lengths",
      lengths: await readTableFile(file, (text) => readKnownLengthCsv(own(text))),
    };
  if (kind === "ice-frames") {
    const share = view.readoutShare;
    return {
      kind: "ice-points-by-frame",
      frames: await readTableFile(file, (text) => readIcePointFramesCsv(own(text))),
      ...(share !== undefined && { readoutShare: share }),
    };
  }
  const points = await readTableFile(file, (text) => readIcePointsCsv(own(text)));
  if (view.recheck === undefined) return { kind: "ice-points", points };
  const labels = points.map((p) => p.label);
  const rechecks = await readTableFile(view.recheck, (text) => readRechecksCsv(own(text), labels));
  return { kind: "ice-points", points, rechecks };
}
