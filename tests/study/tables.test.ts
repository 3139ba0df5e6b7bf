import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import {
  type BadRow,
  readEventsCsv,
  readIcePointFramesCsv,
  readIcePointsCsv,
  readKnownLengthCsv,
  readMarksCsv,
  readTimesCsv,
  writeEventsCsv,
  writeIcePointFramesCsv,
  writeIcePointsCsv,
  writeKnownLengthCsv,
  writeMarksCsv,
  writeTimesCsv,
} from "../../src/study/tables.ts";

/** The table's shape is RFC 4180's and its columns are those of the contracts; both outside this project's code. */
const TIMES = "skater,technique,repeat,order,time_s\r\nAino,close,1,1,4.71\r\nBea,open,2,7,4.80\r\n";

function badRows(read: () => unknown): readonly BadRow[] {
  try {
    read();
  } catch (error) {
    if (!(error instanceof MeasureError)) throw error;
    expect(error.code).toBe("bad-table");
    return error.data.rows as BadRow[];
  }
  throw new Error("the table was read although it is bad");
}

describe("times.csv", () => {
  it("refuses a time no trial takes, whose square is no number", () => {
    expect(badRows(() => readTimesCsv(TIMES.replace("4.71", "1e308")))).toEqual([
      { line: 2, reason: "time_s is 1e308; it must be more than 0 and less than a day (86400)" },
    ]);
  });

  it("says of UTF-16, as spreadsheets write it, that it is no UTF-8", () => {
    const utf16 = Buffer.from(`\uFEFF${TIMES}`, "utf16le").toString("utf8");
    expect(badRows(() => readTimesCsv(utf16))).toEqual([
      { line: 1, reason: expect.stringMatching(/not plain UTF-8 .* save it as CSV UTF-8/) },
    ]);
  });

  it("takes a name for the same whichever way its accents are written (Unicode NFC)", () => {
    const rows = readTimesCsv(TIMES.replace("Aino", "A\u030asa").replace("Bea", "\u00c5sa"));
    expect(rows.map((r) => r.skater)).toEqual(["\u00c5sa", "\u00c5sa"]);
  });

  it("reads one timed trial a row", () => {
    expect(readTimesCsv(TIMES)).toEqual([
      { line: 2, skater: "Aino", technique: "close", repeat: 1, order: 1, time: 4.71, valid: true },
      { line: 3, skater: "Bea", technique: "open", repeat: 2, order: 7, time: 4.8, valid: true },
    ]);
  });

  it("takes columns in any order, ignores extra ones, a byte order mark, blank lines and either line end", () => {
    const text =
      '\uFEFF weather ,time_s,order,repeat,technique,skater,valid,note,start,gate_beam\n\n"dull, cold",4.71,1,1,close,"Aino ""A""",no,"fell,\nstood up",flying,dual\n,,,,,,,,,\n';
    expect(readTimesCsv(text)).toEqual([
      {
        line: 3,
        skater: 'Aino "A"',
        technique: "close",
        repeat: 1,
        order: 1,
        time: 4.71,
        valid: false,
        note: "fell,\nstood up",
        start: "flying",
        gateBeam: "dual",
      },
    ]);
  });

  it("keeps a blank time as not skated, never as zero", () => {
    expect(readTimesCsv(TIMES.replace("4.71", ""))[0]?.time).toBeNull();
  });

  it("reports every bad row by its line and reason, all together, and reads nothing", () => {
    const text = [
      "skater,technique,repeat,order,time_s,valid,note",
      "Aino,close,1,1,4.71,yes,",
      "Bea,open,1,2,fast,,",
      'Signe,open,1,3,"4,62",,',
      ",open,0,4,-1,perhaps,",
      "Tove,open,1,5,4.52",
      'Wren,open,1,6,4.81,,"two',
      'lines"',
      "Aino,close,1,9,4.70,,",
    ].join("\n");
    expect(badRows(() => readTimesCsv(text))).toEqual([
      { line: 3, reason: 'time_s is "fast", which is not a number' },
      { line: 4, reason: 'time_s is "4,62", which needs a decimal point instead of the comma' },
      { line: 5, reason: "skater is blank" },
      { line: 5, reason: "repeat is 0; it must be a whole number, 1 or more" },
      { line: 5, reason: "time_s is -1; it must be more than 0 and less than a day (86400)" },
      { line: 5, reason: 'valid is "perhaps"; it must be yes or no' },
      { line: 6, reason: "has 5 cells where the header has 7" },
      { line: 9, reason: "is the same skater, technique and repeat as line 2" },
    ]);
  });

  it.each(["Infinity", "NaN", "0x10", "4.7s", "1e999", "--4", "4.7.1", "4 71"])(
    "refuses the time %s",
    (time) => {
      expect(badRows(() => readTimesCsv(TIMES.replace("4.71", time)))).toHaveLength(1);
    },
  );

  it("says which columns are missing or doubled", () => {
    expect(badRows(() => readTimesCsv("skater,technique,repeat,repeat\nA,b,1,1\n"))).toEqual([
      { line: 1, reason: "the column order is missing" },
      { line: 1, reason: "the column time_s is missing" },
      { line: 1, reason: "the column repeat is there twice" },
    ]);
  });

  it("says so when a table is empty, split by semicolons, or misquoted", () => {
    expect(badRows(() => readTimesCsv(" \r\n"))[0]?.reason).toMatch(/empty/);
    expect(
      badRows(() => readTimesCsv("skater;technique;repeat;order;time_s\nA;b;1;1;4,7\n"))[0]?.reason,
    ).toMatch(/not separated by commas/);
    expect(badRows(() => readTimesCsv(`${TIMES}Tove,open,1,3,"4.52\r\nWren,open,1,4,4.8\r\n`))).toEqual([
      { line: 4, reason: expect.stringMatching(/quote/) },
    ]);
    expect(badRows(() => readTimesCsv(`${TIMES}To"ve,open,1,3,4.52\r\n`))[0]?.line).toBe(4);
    expect(badRows(() => readTimesCsv(`${TIMES}"To"ve,open,1,3,4.52\r\n`))[0]?.line).toBe(4);
  });

  it("comes back as it was written", () => {
    const row = { skater: 'A "x", y', technique: "=1+1", repeat: 2, order: 3, time: 4.512, valid: false };
    const rows = [
      row,
      { ...row, repeat: 3, time: null, valid: true, note: "'@two\r\nlines", clip: "-a.mp4" },
    ];
    expect(readTimesCsv(writeTimesCsv(rows)).map(({ line: _, ...r }) => r)).toEqual(rows);
  });

  it("never writes text that a spreadsheet would run", () => {
    const written = writeTimesCsv([
      { skater: "=cmd", technique: "+x", repeat: 1, order: 1, time: 5, valid: true, note: "@y", clip: "-z" },
    ]);
    expect(written).toContain("\r\n'=cmd,'+x,1,1,5,'-z,,yes,'@y,,\r\n");
    expect(written.replaceAll("\r\n", "")).not.toContain("\n");
  });
});

describe("marks.csv and events.csv", () => {
  const marks =
    "frame,time_s,point,side,x_px,y_px,u_px,observer,pass\n12,0.4,blade_heel,left,-0.5,3e2,0.8,AB,2\n";

  it("reads a mark with its own uncertainty, observer and pass", () => {
    expect(readMarksCsv(marks)).toEqual([
      {
        frame: 12,
        time: 0.4,
        point: "blade_heel",
        side: "left",
        xPx: -0.5,
        yPx: 300,
        uPx: 0.8,
        observer: "AB",
        pass: 2,
      },
    ]);
    expect(readMarksCsv(writeMarksCsv(readMarksCsv(marks)))).toEqual(readMarksCsv(marks));
  });

  it("leaves out what is not there instead of filling it in", () => {
    expect(Object.keys(readMarksCsv("frame,time_s,point,side,x_px,y_px\n0,0,hip,right,1,2\n")[0]!)).toEqual([
      "frame",
      "time",
      "point",
      "side",
      "xPx",
      "yPx",
    ]);
  });

  it("refuses a point it does not know, half a frame, and the same mark twice", () => {
    expect(
      badRows(() => readMarksCsv(`${marks}1.5,0,knee,left,1,,0,,\n12,0.4,blade_heel,left,9,9,,AB,2\n`)),
    ).toEqual([
      { line: 3, reason: "u_px is 0; it must be more than 0" },
      { line: 3, reason: "frame is 1.5; it must be a whole number, 0 or more" },
      {
        line: 3,
        reason: 'point is "knee"; it must be one of blade_heel, blade_toe, hip, shoulder, elbow, wrist',
      },
      { line: 3, reason: "y_px is blank" },
      { line: 4, reason: "marks the same point of the same frame as line 2" },
    ]);
  });

  it("takes an event's time from its row, else from the clip, and says where there is neither", () => {
    const text = "event,side,frame,time_s\nblade_off,left,12,0.401\nblade_on,left,20,\n";
    const known = (frame: number) => (frame === 20 ? 0.667 : null);
    expect(readEventsCsv(text, known).map((e) => e.time)).toEqual([0.401, 0.667]);
    expect(badRows(() => readEventsCsv(text, () => null))).toEqual([
      { line: 3, reason: expect.stringContaining("time of frame 20") },
    ]);
  });

  it("keeps what was said of the arm, and nothing where nothing was said", () => {
    const text =
      "event,side,frame,time_s,stride,elbow_toward_camera,wrist_toward_camera\narm_front,left,3,0.1,1,yes,\narm_back,left,9,0.3,1,no,no\n";
    const events = readEventsCsv(text, () => null);
    expect(events).toEqual([
      { event: "arm_front", side: "left", frame: 3, time: 0.1, elbowTowardCamera: true },
      {
        event: "arm_back",
        side: "left",
        frame: 9,
        time: 0.3,
        elbowTowardCamera: false,
        wristTowardCamera: false,
      },
    ]);
    expect(readEventsCsv(writeEventsCsv(events), () => null)).toEqual(events);
  });
});

describe("ice_points.csv and known_length.csv", () => {
  it("reads places on the ice and comes back as written", () => {
    const points = readIcePointsCsv(
      "label,x_px,y_px,ice_x_m,ice_y_m,u_m\n-a,10,20,0,-1.5,0.01\nb,11,21,30,1.5,\n",
    );
    expect(points).toEqual([
      { label: "-a", xPx: 10, yPx: 20, x: 0, y: -1.5, u: 0.01 },
      { label: "b", xPx: 11, yPx: 21, x: 30, y: 1.5 },
    ]);
    expect(readIcePointsCsv(writeIcePointsCsv(points))).toEqual(points);
  });

  it("refuses two ice points of one name and a length of no length", () => {
    expect(
      badRows(() => readIcePointsCsv("label,x_px,y_px,ice_x_m,ice_y_m\na,1,2,0,0\na,3,4,1,0\n")),
    ).toEqual([{ line: 3, reason: "has the same label as line 2" }]);
    expect(badRows(() => readKnownLengthCsv("x1_px,y1_px,x2_px,y2_px,length_m\n1,2,1,2,0\n"))).toEqual([
      { line: 2, reason: "length_m is 0; it must be more than 0" },
      { line: 2, reason: "both ends are the same point" },
    ]);
  });

  it("reads ice points frame by frame, rows in any order, and comes back as written", () => {
    const frames = readIcePointFramesCsv(
      "label,frame,x_px,y_px,ice_x_m,ice_y_m,u_m\na,20,10,20,0,-1.5,0.01\na,5,11,21,0,-1.5,\nb,20,12,22,3,1.5,\n",
    );
    expect(frames).toEqual([
      { frame: 5, points: [{ label: "a", xPx: 11, yPx: 21, x: 0, y: -1.5 }] },
      {
        frame: 20,
        points: [
          { label: "a", xPx: 10, yPx: 20, x: 0, y: -1.5, u: 0.01 },
          { label: "b", xPx: 12, yPx: 22, x: 3, y: 1.5 },
        ],
      },
    ]);
    expect(readIcePointFramesCsv(writeIcePointFramesCsv(frames))).toEqual(frames);
  });

  it("refuses a label twice on one frame, and half a frame", () => {
    const head = "frame,label,x_px,y_px,ice_x_m,ice_y_m\n";
    expect(badRows(() => readIcePointFramesCsv(`${head}1,a,1,2,0,0\n2,a,1,2,0,0\n1,a,3,4,1,0\n`))).toEqual([
      { line: 4, reason: "has the same label on frame 1 as line 2" },
    ]);
    expect(badRows(() => readIcePointFramesCsv(`${head}1.5,a,1,2,0,0\n`))[0]!.reason).toContain("frame is");
  });

  it("reads a known length with its frame and uncertainty", () => {
    const lengths = readKnownLengthCsv(
      "x1_px,y1_px,x2_px,y2_px,length_m,frame,u_m\n1,2,101,2,1.83,7,0.005\n",
    );
    expect(lengths).toEqual([{ x1Px: 1, y1Px: 2, x2Px: 101, y2Px: 2, length: 1.83, frame: 7, u: 0.005 }]);
    expect(readKnownLengthCsv(writeKnownLengthCsv(lengths))).toEqual(lengths);
  });
});
