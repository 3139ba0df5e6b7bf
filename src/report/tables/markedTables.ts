import type { Names } from "../../study/labels.ts";
import { EVENTS, ORIGINS, originCells, POINTS } from "../../study/marksTable.ts";
import type { IcePoint, TrialMarks, WholeStudy } from "../../study/types.ts";
import { motionTable } from "./motionTable.ts";
import { OF_TRIAL, SIDE, TRIAL } from "./peopleTables.ts";
import { type Cell, type Column, number, type Table, text, whole, yesNo } from "./table.ts";

const FRAME = whole("frame", "frame of the clip, the first is 0", { required: true });
const TIME = number("time_s", "the frame's own time in the clip, first frame = 0", "s");

type Keys = ReadonlyMap<string, string>;

/**
 * What people did, and how clips' pictures move: `marks`, `events`, `ice_points`, `ice_points_frames`, `known_length`,
 * `ice_rechecks`, `straight_lines` and `motion` as `measure` reads them; `gate_passings` and `not_seen` beside them.
 */
export function markedTables(whole: WholeStudy, names: Names, keys: Keys): Table[] {
  const trials = whole.study.trials.flatMap(({ id }) => {
    const marks = whole.marks[id];
    return marks ? [{ key: keys.get(id) ?? id, marks }] : [];
  });
  return [
    marksTable(trials, names),
    eventsTable(trials),
    icePointsTable(trials),
    icePointsFramesTable(trials),
    knownLengthTable(trials),
    rechecksTable(trials),
    straightLinesTable(trials),
    motionTable(trials),
    gatePassingsTable(trials),
    notSeenTable(trials),
  ].filter((table) => table.rows.length > 0 || table.name === "marks" || table.name === "events");
}

const ORIGIN_COLUMNS: readonly Column[] = [
  text("from", "by hand, a suggestion accepted as it was, or one moved; blank = by hand", {
    choices: ORIGINS,
  }),
  number("suggested_x_px", "where it was suggested", "px"),
  number("suggested_y_px", "where it was suggested", "px"),
  number("suggested_u_px", "standard uncertainty that was stated with the suggestion", "px"),
  text("suggested_by", "by a pose model or by how the blade looked in earlier strides"),
  text("model", "SHA-256 of the pose model's weights"),
  text("templates", "frames it was learned from"),
  text("blind", "yes: the suggestion was hidden until the mark was put", { choices: ["yes", "no"] }),
];

type Marked = readonly { readonly key: string; readonly marks: TrialMarks }[];

function marksTable(trials: Marked, names: Names): Table {
  // Observers are people too: under codes they are numbered.
  const observers = [...new Set(trials.flatMap((t) => t.marks.marks.map((m) => m.observer)))].filter(
    (o) => o !== undefined,
  );
  const observer = (name: string | undefined) =>
    name === undefined || names === "names" ? name : `observer ${observers.indexOf(name) + 1}`;
  const told = trials.some((t) => t.marks.marks.some((m) => m.from));
  return {
    name: "marks",
    title: "Every marked point of body and blade",
    refersTo: OF_TRIAL,
    columns: [
      TRIAL,
      FRAME,
      TIME,
      text("point", "which point; blade_heel and blade_toe are the ends of the runner", {
        required: true,
        choices: POINTS,
      }),
      SIDE,
      ...pixels("x_px", "y_px"),
      number("u_px", "standard uncertainty of this mark; blank = the study's", "px"),
      text("observer", "who marked it"),
      whole("pass", "0, 1 … where a point was marked again"),
      ...(told ? ORIGIN_COLUMNS : []),
    ],
    rows: trials.flatMap(({ key, marks }) =>
      marks.marks.map((m): Cell[] => [
        key,
        m.frame,
        m.time,
        m.point,
        m.side,
        m.xPx,
        m.yPx,
        m.uPx,
        observer(m.observer),
        m.pass,
        ...(told ? originCells(m) : []),
      ]),
    ),
  };
}

function eventsTable(trials: Marked): Table {
  return {
    name: "events",
    title: "Event frames picked by eye",
    key: ["trial", "event", "side", "frame"],
    refersTo: OF_TRIAL,
    columns: [
      TRIAL,
      text("event", "what happens in the frame", { required: true, choices: EVENTS }),
      SIDE,
      FRAME,
      TIME,
      yesNo("elbow_toward_camera", "arm rows: is the elbow nearer the camera than the shoulder"),
      yesNo("wrist_toward_camera", "arm rows: is the wrist nearer the camera than the elbow"),
    ],
    rows: trials.flatMap(({ key, marks }) =>
      marks.events.map((e): Cell[] => [
        key,
        e.event,
        e.side,
        e.frame,
        e.time,
        e.elbowTowardCamera,
        e.wristTowardCamera,
      ]),
    ),
  };
}

function rechecksTable(trials: Marked): Table {
  return {
    name: "ice_rechecks",
    title: "Ice points marked again on a later frame, to see whether the camera still stands as it did",
    key: ["trial", "frame", "label"],
    refersTo: OF_TRIAL,
    columns: [TRIAL, FRAME, text("label", "of the ice point", { required: true }), ...pixels("x_px", "y_px")],
    rows: trials.flatMap(({ key, marks: { iceReference } }) =>
      iceReference?.kind === "ice-points"
        ? (iceReference.rechecks ?? []).map((r): Cell[] => [key, r.frame, r.label, r.xPx, r.yPx])
        : [],
    ),
  };
}

function gatePassingsTable(trials: Marked): Table {
  return {
    name: "gate_passings",
    title: "First frame in which the front of the skater is at or past a gate, picked by eye",
    key: ["trial", "gate_x_m"],
    refersTo: OF_TRIAL,
    columns: [
      TRIAL,
      number("gate_x_m", "where the gate stands along the lane, from the start line", "m", {
        required: true,
      }),
      FRAME,
      TIME,
      number("share", "how far of the step from the frame before is gone as it passes; blank = not said", ""),
    ],
    rows: trials.flatMap(({ key, marks }) =>
      (marks.gatePassings ?? []).map((g): Cell[] => [key, g.gate, g.frame, g.time, g.share]),
    ),
  };
}

function notSeenTable(trials: Marked): Table {
  return {
    name: "not_seen",
    title: "Points that were asked for and can't be seen in their frame",
    key: ["trial", "frame", "point", "side"],
    refersTo: OF_TRIAL,
    columns: [TRIAL, FRAME, text("point", "which point", { required: true, choices: POINTS }), SIDE],
    rows: trials.flatMap(({ key, marks }) =>
      (marks.notSeen ?? []).map((n): Cell[] => [key, n.frame, n.point, n.side]),
    ),
  };
}

function pixels(x: string, y: string): Column[] {
  return [
    number(x, "to the right in the picture as displayed, middle of the top-left pixel = 0", "px", {
      required: true,
    }),
    number(y, "down in the picture", "px", { required: true }),
  ];
}

const ICE_COLUMNS: readonly Column[] = [
  text("label", "what the point is called", { required: true }),
  ...pixels("x_px", "y_px"),
  number("ice_x_m", "along the lane from the start line", "m", { required: true }),
  number("ice_y_m", "to the skater's left of the lane's middle", "m", { required: true }),
  number("u_px", "standard uncertainty of the mark; blank = the study's", "px"),
  number("u_m", "standard uncertainty of the place on the ice", "m"),
];
const iceCells = (p: IcePoint): Cell[] => [p.label, p.xPx, p.yPx, p.x, p.y, p.uPx, p.u];

function icePointsTable(trials: Marked): Table {
  return {
    name: "ice_points",
    title: "Ice points of a camera that stands still",
    key: ["trial", "label"],
    refersTo: OF_TRIAL,
    columns: [TRIAL, ...ICE_COLUMNS, whole("frame", "frame it was put on; blank = not said")],
    rows: trials.flatMap(({ key, marks: { iceReference } }) =>
      iceReference?.kind === "ice-points"
        ? iceReference.points.map((p) => [key, ...iceCells(p), p.frame])
        : [],
    ),
  };
}

function icePointsFramesTable(trials: Marked): Table {
  return {
    name: "ice_points_frames",
    title: "Ice points frame by frame, of a camera that pans or zooms",
    key: ["trial", "frame", "label"],
    refersTo: OF_TRIAL,
    columns: [TRIAL, FRAME, ...ICE_COLUMNS],
    rows: trials.flatMap(({ key, marks: { iceReference } }) =>
      iceReference?.kind === "ice-points-by-frame"
        ? iceReference.frames.flatMap((f) => f.points.map((p) => [key, f.frame, ...iceCells(p)]))
        : [],
    ),
  };
}

function straightLinesTable(trials: Marked): Table {
  return {
    name: "straight_lines",
    title: "Points along what is straight in life, which tell how the lens bends",
    refersTo: OF_TRIAL,
    columns: [
      TRIAL,
      whole("line", "which line, from 1", { required: true }),
      ...pixels("x_px", "y_px"),
      whole("frame", "frame it was pressed on"),
    ],
    rows: trials.flatMap(({ key, marks: { straightLines = [] } }) =>
      straightLines.flatMap(({ points, frame }, k) =>
        points.map((p): Cell[] => [key, k + 1, p.xPx, p.yPx, frame]),
      ),
    ),
  };
}

function knownLengthTable(trials: Marked): Table {
  return {
    name: "known_length",
    title: "Known lengths lying on the ice",
    refersTo: OF_TRIAL,
    columns: [
      TRIAL,
      ...pixels("x1_px", "y1_px"),
      ...pixels("x2_px", "y2_px"),
      number("length_m", "the length", "m", { required: true }),
      whole("frame", "frame it was marked on"),
      number("u_m", "standard uncertainty of the length", "m"),
    ],
    rows: trials.flatMap(({ key, marks: { iceReference } }) =>
      iceReference?.kind === "known-lengths"
        ? iceReference.lengths.map((l): Cell[] => [
            key,
            l.x1Px,
            l.y1Px,
            l.x2Px,
            l.y2Px,
            l.length,
            l.frame,
            l.u,
          ])
        : [],
    ),
  };
}
