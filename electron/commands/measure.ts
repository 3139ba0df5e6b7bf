import { resolve } from "node:path";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import { measureTrialDrawn } from "../../src/kinematics/measureTrialDrawn.ts";
import type { MeasureInput } from "../../src/kinematics/types.ts";
import { ENOUGH_HIP_FRAMES } from "../../src/marks/hipScatter.ts";
import { HIP_SD_PX, repeatsOf } from "../../src/marks/markSds.ts";
import { underMotion } from "../../src/motion/steadyReference.ts";
import { randomNumbers } from "../../src/statistics/randomNumbers.ts";
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
import type { IceReference } from "../../src/study/types.ts";
import { clipGateTime } from "../../src/trials/clipGateTime.ts";
import { type Command, type Io, UsageError } from "./Command.ts";
import { frameClock } from "./frameClock.ts";
import { throughLines } from "./measureLines.ts";
import {
  bodyOption,
  gatesOption,
  lensOption,
  pictureOption,
  positiveOption,
  seedOption,
  shareOption,
} from "./measureOptions.ts";
import { measureStudy } from "./measureStudy.ts";
import { measureTableFolder } from "./measureTableFolder.ts";
import { tell } from "./measureText.ts";
import { measureViewOptions } from "./measureViews.ts";
import { motionOf } from "./motionFile.ts";
import { readArgs } from "./options.ts";
import { readTableFile } from "./tables.ts";

const text = { type: "string" } as const;
const OPTIONS = {
  marks: text,
  events: text,
  ice: text,
  "ice-frames": text,
  "known-length": text,
  picture: text,
  body: text,
  seed: text,
  "mark-sd": text,
  lens: text,
  lines: text,
  "speed-factor": text,
  photocell: text,
  gates: text,
  trial: text,
  "mark-sd-stated": text,
  "frame-interval": text,
  recheck: text,
  motion: text,
  "readout-share": text,
  view: { type: "string", multiple: true },
  tables: text,
  listen: { type: "boolean" },
  json: { type: "boolean" },
} as const;

export const measure: Command = {
  does: "one trial's strides from tables, or from a study folder",
  help: `blademark measure --marks F --events F (--ice F | --known-length F | --ice-frames F) --picture WxH [more]
blademark measure --view K=V,K=V --view K=V,K=V … [--body LIST] [--json]   (two or more views of one trial)
blademark measure --tables DIR [--trial ID [--seed N]] [--json]     (as from the study folder that a report's tables are of)
blademark measure STUDY [TRIAL [--seed N | --listen]] [--json]      (without TRIAL: all, as { trials: [{ id, measure }] })

Reads tables of marks and events and says each stride's quantities, value ± half-width of the 95 % interval.

  --marks F           marks.csv: frame,time_s,point,side,x_px,y_px
  --events F          events.csv: event,side,frame
  --ice F             ice_points.csv: label,x_px,y_px,ice_x_m,ice_y_m
  --recheck F         ice points of --ice pressed again on later frames (frame,label,x_px,y_px):
                      did the camera stand still
  --motion F          what "motion CLIP --json" printed of the clip, or motion.csv of a report's tables: its picture's own
                      motion is taken out frame by frame, and what is left is in every ±; --ice then says in a column
                      frame on which frame each point was put. With --ice-frames it carries the camera from frames with
                      ice points (eight on each of three far apart) to those between
  --readout-share K   with --ice-frames and --motion: of the time between frames, what the camera takes from a frame's first
                      row to its last (0 to 1), where that is known; otherwise it is learned from the ice points
  --known-length F    known_length.csv: x1_px,y1_px,x2_px,y2_px,length_m
  --ice-frames F      ice_points_frames.csv: the same with a leading frame, for a camera that pans or zooms
  --trial ID          whose rows to read, where the tables hold several trials told apart by a column trial
  --picture WxH       size of the picture as displayed, pixels
  --body LIST         hip_height=0.80,upper_arm=0.31,forearm=0.26,stature=1.75,blade=0.28
                      (metres, any of them)
  --mark-sd PX        standard uncertainty of one mark per coordinate (${DEFAULT_MARK_SD_PX}), of blades, arms and ice
                      points. Hips, which clothing hides: by ten or more marked again, else by how evenly the
                      trial's own lie (${ENOUGH_HIP_FRAMES} frames with both, never better than PX), else ${HIP_SD_PX} px;
                      u_px of a row rules over all of these
  --mark-sd-stated PX the same, where ten or more points marked again do not tell better (what a study does)
  --lens K1[,K2]      radial lens coefficients, when known; otherwise found from six or
                      more ice points where these clearly show them
  --lines F           straight_lines.csv: line,x_px,y_px: points along what is straight in life (a painted line, the boards'
                      edge), three or more a line. They tell the lens where the ice points don't, or less well
  --speed-factor K    the clip plays K times slower than life (1)
  --frame-interval S  clip seconds between frames, when known; otherwise from the times in the tables
  --photocell S --gates X0,X1
                      checks the clip's own time between two gates (metres along the lane) against the photocells'
  --seed N            beside every number what 10,000 drawn errors say of it (Monte Carlo, JCGM 101): in the JSON
                      as monte_carlo { mean, u, low, high }, and where that disagrees with value ± u95, and why
  --view K=V,K=V      one of two or more views of one trial: marks=F, events=F, one of ice=F, ice-frames=F and
                      known-length=F, picture=WxH, and where known lens=K1[:K2], speed-factor=K, mark-sd=PX or
                      mark-sd-stated=PX, frame-interval=S; motion=F, recheck=F and readout-share=K as above; rows=TRIAL
                      where the tables hold several trials, of a view_ table rows=TRIAL:2 for view 2.
                      Clocks are tied by the blade-offs and blade-ons both show; the first view's clock counts.
                      sound=CLIP in each: the clip itself, whose sound ties the clocks where events don't tell,
                      and is held against them where they do
  --tables DIR        the tables of a report (tables/ of "report STUDY --out"): camera set-ups, further views and motion
                      count as in the study; without --trial all trials
  --listen            of a study's trial with two views: listens to their clips now, as "Listen to both clips" in the window
                      does and keeps; nothing is written
  --json              one JSON object and nothing else`,
  async run(args, io) {
    const { values, positionals } = readArgs(args, OPTIONS, [0, 2]);
    const [study, trial] = positionals;
    if (study !== undefined) {
      const { json, seed, listen, ...others } = values;
      const [odd] = Object.keys(others);
      if (odd)
        throw new UsageError(`--${odd} belongs to measuring from tables; a study folder holds all of that.`);
      if (seed !== undefined && trial === undefined)
        throw new UsageError("--seed draws errors for one trial: name it after the study folder.");
      if (listen && trial === undefined)
        throw new UsageError("--listen is for one trial: name it after the study folder.");
      const more = { seed: seedOption(seed), listen: listen === true };
      return measureStudy(resolve(study), trial, json === true, io, more);
    }
    if (values.listen) throw new UsageError("--listen is for a trial of a study; a --view says sound=CLIP.");
    if (values.tables !== undefined) {
      const { tables, trial: one, seed, json, ...others } = values;
      const [odd] = Object.keys(others);
      if (odd)
        throw new UsageError(`--${odd} is in the tables already: --tables takes --trial, --seed and --json.`);
      if (seed !== undefined && one === undefined)
        throw new UsageError("--seed draws errors for one trial: name it by --trial.");
      return measureTableFolder(tables, { trial: one, json: json === true, seed: seedOption(seed) }, io);
    }
    if (values.view !== undefined) {
      const { view, body, json, ...others } = values;
      const [odd] = Object.keys(others);
      if (odd) throw new UsageError(`--${odd} belongs to one view: write it into each --view.`);
      return measureViewOptions(view, { body, json: json === true }, io);
    }
    return measureTables(values, io);
  },
};

type Values = ReturnType<typeof readArgs<typeof OPTIONS>>["values"];

async function measureTables(values: Values, io: Io): Promise<number> {
  const need = (name: "marks" | "events" | "picture") => {
    const given = values[name];
    if (given === undefined) throw new UsageError(`--${name} is missing.`);
    return given;
  };
  const [marksFile, eventsFile] = [need("marks"), need("events")];
  const picture = pictureOption(need("picture"));
  const body = values.body === undefined ? {} : bodyOption(values.body);
  const lens = values.lens === undefined ? {} : { lens: lensOption(values.lens) };
  if (values["mark-sd"] !== undefined && values["mark-sd-stated"] !== undefined)
    throw new UsageError("Give --mark-sd or --mark-sd-stated, not both.");
  const markSd = values["mark-sd"] ?? values["mark-sd-stated"];
  const markSdPx = markSd === undefined ? DEFAULT_MARK_SD_PX : positiveOption("--mark-sd", markSd);
  const speedFactor =
    values["speed-factor"] === undefined ? 1 : positiveOption("--speed-factor", values["speed-factor"]);
  const seed = seedOption(values.seed);
  if ((values.photocell === undefined) !== (values.gates === undefined))
    throw new UsageError("--photocell and --gates belong together.");
  const check =
    values.photocell !== undefined && values.gates !== undefined
      ? { photocell: positiveOption("--photocell", values.photocell), gates: gatesOption(values.gates) }
      : null;
  if (
    values["readout-share"] !== undefined &&
    (values["ice-frames"] === undefined || values.motion === undefined)
  )
    throw new UsageError("--readout-share is of use only with --ice-frames and --motion.");
  if (values.lines !== undefined && values.lens !== undefined)
    throw new UsageError("Give --lens or --lines, not both: what is known needs no lines.");
  if (values.lines !== undefined && values["known-length"] !== undefined)
    throw new UsageError("--lines tells the lens, and known lengths make no use of it; ice points do.");
  const iceReference = await iceReferenceFrom(values);

  const { marks, studyRepeats } = await readTableFile(marksFile, (text) =>
    marksOf(text, values, iceReference),
  );
  const clock = frameClock(marks);
  const events = await readTableFile(eventsFile, (text) =>
    readEventsCsv(ownRows(text, values), clock.timeOf),
  );
  const interval = values["frame-interval"];
  const frameInterval = interval === undefined ? null : positiveOption("--frame-interval", interval);
  const found =
    values.motion === undefined
      ? null
      : await readTableFile(values.motion, (text) =>
          motionOf(text, picture, (rows) => ownRows(rows, values)),
        );
  const moves = found && underMotion(found, iceReference, picture, markSdPx);
  const whole = {
    marks,
    events,
    iceReference: await throughLines(
      { file: values.lines, reference: moves ? moves.reference : iceReference, picture, markSdPx },
      (text) => ownRows(text, values),
    ),
    ...(moves?.steady && { steady: moves.steady }),
    picture,
    frameInterval,
    speedFactor,
    body,
    markSdPx,
    ...lens,
    ...(studyRepeats !== undefined && { studyRepeats }),
    ...(values["mark-sd"] !== undefined && { markSdIsKnown: true }),
    ...(check && { gates: check.gates }),
  };
  const readings = seed === null ? measureTrial(whole) : measureTrialDrawn(whole, randomNumbers(seed));
  const more = clock.warnings();
  if (check) more.push(clipGateTime(readings.strides, check.gates, check.photocell, "not said"));
  tell({ ...readings, warnings: [...readings.warnings, ...more] }, values.json === true, io, seed);
  if (readings.scaleWhy === null) return 0;
  // Times and rates are printed all the same, but metres were asked for and cannot be given.
  io.say(`No scale of the ice. ${readings.scaleWhy}`);
  return 1;
}

/** One trial's marks. Where the table holds a study's trials, points marked again in any of them tell the marking SD. */
function marksOf(
  text: string,
  values: Values,
  iceReference: IceReference | null,
): Pick<MeasureInput, "marks" | "studyRepeats"> {
  const marks = readMarksCsv(ownRows(text, values));
  const trials = trialsIn(text);
  if (trials.length < 2) return { marks };
  const all = trials.map((trial) => readMarksCsv(rowsOfTrial(text, trial)));
  return { marks, studyRepeats: repeatsOf(all, [iceReference]) };
}

function ownRows(text: string, { trial }: Values): string {
  return rowsOfTrial(text, trial ?? null);
}

async function iceReferenceFrom(values: Values): Promise<IceReference> {
  const given = (["ice", "ice-frames", "known-length"] as const).filter((name) => values[name] !== undefined);
  if (given.length !== 1) {
    throw new UsageError(
      "Give the ice reference by exactly one of --ice, --known-length and --ice-frames; without one there are no metres.",
    );
  }
  const { ice, recheck } = values;
  if (recheck !== undefined && ice === undefined)
    throw new UsageError("--recheck belongs to --ice: only a camera that stands still is checked.");
  if (ice !== undefined) {
    const points = await readTableFile(ice, (text) => readIcePointsCsv(ownRows(text, values)));
    if (recheck === undefined) return { kind: "ice-points", points };
    const labels = points.map((p) => p.label);
    const rechecks = await readTableFile(recheck, (text) => readRechecksCsv(ownRows(text, values), labels));
    return { kind: "ice-points", points, rechecks };
  }
  if (values["known-length"] !== undefined)
    return {
      kind: "known-lengths",
      lengths: await readTableFile(values["known-length"], (text) =>
        readKnownLengthCsv(ownRows(text, values)),
      ),
    };
  const share = values["readout-share"];
  return {
    kind: "ice-points-by-frame",
    frames: await readTableFile(values["ice-frames"]!, (text) =>
      readIcePointFramesCsv(ownRows(text, values)),
    ),
    ...(share !== undefined && { readoutShare: shareOption("--readout-share", share) }),
  };
}
