import { describe, expect, it } from "vitest";
import { MeasureError } from "../../src/errors.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import { readPastedTable, readTimesCsv } from "../../src/study/tables.ts";
import type { Study } from "../../src/study/types.ts";
import { mergeTimes } from "../../src/trials/mergeTimes.ts";
import { readPastedColumns } from "../../src/trials/readPastedColumns.ts";
import { readPastedTimes, readTime, timeText } from "../../src/trials/readTime.ts";

function failure(act: () => unknown): MeasureError {
  try {
    act();
  } catch (error) {
    if (error instanceof MeasureError) return error;
    throw error;
  }
  throw new Error("it was taken although it is bad");
}

describe("a typed time", () => {
  it.each([
    ["4.87", 4.87],
    [" 4,87 ", 4.87],
    ["4.87 s", 4.87],
    ["4,87 sec", 4.87],
    ["0:04.87", 4.87],
    [".95", 0.95],
    ["5", 5],
    ["", null],
    ["   ", null],
  ])('"%s" is %s', (text, time) => expect(readTime(text)).toBe(time));

  it.each([
    "fast",
    "4.8x",
    "-4.87",
    "0",
    "4.8.7",
    "1:04.8",
    "4 87",
    "4870",
    "NaN",
    "Infinity",
    "4e3",
    "4,8,7",
  ])('refuses "%s" and says that the old value stays', (text) => {
    const error = failure(() => readTime(text));
    expect(error.code).toBe("bad-time");
    expect(error.coach).toContain(text);
    expect(error.coach).toContain("old value stays");
  });

  it("is shown as it was typed, with two decimals at least", () => {
    expect([4.6, 4.87, 4.512, 5].map(timeText)).toEqual(["4.60", "4.87", "4.512", "5.00"]);
  });
});

describe("a pasted column", () => {
  it("is one time a line, whatever the line ends; a blank line is a trial left as it is", () => {
    expect(readPastedTimes("4.71\r\n\r\n4,80\r\n")).toEqual([4.71, null, 4.8]);
    expect(readPastedTimes("4.71\n4.8")).toEqual([4.71, 4.8]);
  });

  it("may begin with a heading that says time; another word may be a trial without one, and is refused", () => {
    for (const head of ["Time, s", "time_s", "Time (s)", "ZEIT", "sec"])
      expect(readPastedTimes(`${head}\n4,71\n4.8\n`)).toEqual([4.71, 4.8]);
    for (const word of ["DNF", "void", "Aino"])
      expect(failure(() => readPastedTimes(`${word}\n4.71`)).coach).toContain(`line 1: "${word}"`);
    expect(failure(() => readPastedTimes("Time\n4.71\nlate")).coach).toContain('line 3: "late"');
  });

  it("is refused whole when one line is no time, and names every such line", () => {
    const error = failure(() => readPastedTimes("4.71\nDNF\n4.8\nlate"));
    expect(error.coach).toContain('line 2: "DNF", line 4: "late"');
  });

  it("is no column when cells are side by side; then it is read as a table", () => {
    const text = "skater\ttechnique\trepeat\torder\ttime_s\nAino, A.\tclose\t1\t1\t4.71\n";
    expect(readPastedTimes(text)).toBeNull();
    expect(readPastedTable(text)).toEqual([
      { line: 2, skater: "Aino, A.", technique: "close", repeat: 1, order: 1, time: 4.71, valid: true },
    ]);
  });
});

const PLANNED: Study = {
  ...newStudy(),
  skaters: [{ id: "aino", name: "Aino", code: "S1", body: {} }],
  techniques: [
    { id: "close", name: "close recovery", asked: [] },
    { id: "open", name: "open recovery", asked: [] },
  ],
  trials: [
    {
      id: "t1",
      skater: "aino",
      technique: "close",
      repeat: 1,
      order: 1,
      time: 4.71,
      valid: true,
      speedFactor: 1,
    },
    {
      id: "t2",
      skater: "aino",
      technique: "open",
      repeat: 1,
      order: 2,
      time: null,
      valid: true,
      speedFactor: 8,
    },
  ],
  clips: [{ id: "c9", name: "aino.mp4", path: "clips/aino.mp4", bytes: 1 }],
};

describe("several pasted columns", () => {
  const pasted = (text: string) =>
    readPastedColumns(text, PLANNED).map((r) => [r.skater, r.technique, r.repeat, r.order, r.time]);
  const BOTH = [
    ["aino", "close", 1, 1, 4.65],
    ["aino", "open", 1, 2, 4.5],
  ];

  it("are known by headings of their own, in any order, a comma in the times", () => {
    expect(
      pasted("Time, s\tSkater\tTechnique\tTrial\n4,65\tAino\tclose recovery\t1\n4,5\tS1\topen\t1\n"),
    ).toEqual(BOTH);
    expect(pasted("No.\tLap\tTime (s)\n1\t2.31\t4.65\n2\t2.2\t4.5\n")).toEqual(BOTH);
  });

  it("are known by what stands in them where there are no headings", () => {
    expect(pasted("1\t4,65\n2\t4,50\n")).toEqual(BOTH);
    expect(pasted("Aino\tclose recovery\t4.65\nAino\topen recovery\t4.50\n")).toEqual(BOTH);
    expect(pasted("2\tAino\topen recovery\t4.5")).toEqual(BOTH.slice(1));
  });

  it("are refused where a row is no trial, or two columns may be the time", () => {
    expect(failure(() => pasted("1\t4.65\n7\t4.5")).code).toBe("bad-table");
    expect(failure(() => pasted("Aino\tclose\t4.65\nBea\topen\t4.5")).coach).toMatch(/Bea/);
    expect(failure(() => pasted("1\t2.31\t4.65\n2\t2.20\t4.5")).coach).toMatch(/no one column holds times/);
    expect(failure(() => pasted("No.\tTime\n1\tDNF")).coach).toMatch(/"DNF" is not a time/);
  });

  it("are refused where two rows are one trial, or a trial has too many, and both lines are named", () => {
    const twice = failure(() => pasted("No.\tTime\n1\t4.65\n1\t4.5"));
    expect(twice.data.rows).toEqual([{ line: 3, reason: "1 4.5: is the same trial as line 2" }]);
    const close = "Aino\tclose\t4.65";
    const again = failure(() => pasted(["Skater\tTechnique\tTime", close, close].join("\n")));
    expect(again.data.rows).toEqual([{ line: 3, reason: "Aino close 4.65: is the same trial as line 2" }]);
    const two = { ...PLANNED, trials: PLANNED.trials.map((t) => ({ ...t, technique: "close" })) };
    const sheet = ["Skater\tTechnique\tTime", close, close, close].join("\n");
    expect(failure(() => readPastedColumns(sheet, two)).data.rows).toEqual([
      {
        line: 4,
        reason: "Aino close 4.65: the run order has 2 trials of that, and lines 2 and 3 are these",
      },
    ]);
  });

  it("of the table's own names take a decimal comma too", () => {
    const text = "skater\ttechnique\trepeat\torder\ttime_s\nAino\tclose\t1\t1\t4,71\n";
    expect(pasted(text)).toEqual([["Aino", "close", 1, 1, 4.71]]);
  });
});

const HEAD = "skater,technique,repeat,order,time_s,valid,note,clip\n";
const rows = (lines: string) => readTimesCsv(HEAD + lines);

describe("a table of times", () => {
  it("finds trials by name or code, technique and repeat, and says what it changes", () => {
    const merged = mergeTimes(
      PLANNED,
      rows(
        "S1,CLOSE RECOVERY,1,1,4.65,,,\nAino,open,1,2,4.5,no,fell,aino.mp4\nAino,open,2,3,4.4,,,gone.mp4\n",
      ),
    );
    expect(merged.changed).toEqual([{ trial: "t1", from: 4.71, to: 4.65 }]);
    expect([merged.timed, merged.newTrials]).toEqual([2, 1]);
    expect(merged.unknownClips).toEqual(["gone.mp4"]);
    const [t1, t2, t3] = merged.study.trials;
    expect(t1).toMatchObject({ id: "t1", time: 4.65 });
    expect(t2).toMatchObject({ id: "t2", time: 4.5, valid: false, note: "fell", clip: "c9", speedFactor: 8 });
    expect(t3).toMatchObject({
      skater: "aino",
      technique: "open",
      repeat: 2,
      order: 3,
      time: 4.4,
      speedFactor: 1,
    });
    expect(PLANNED.trials[0]?.time).toBe(4.71);
  });

  it("never takes a time away with a blank cell", () => {
    expect(mergeTimes(PLANNED, rows("Aino,close recovery,1,1,,,,\n")).study.trials[0]?.time).toBe(4.71);
  });

  it("makes skaters and techniques only where there are none", () => {
    const merged = mergeTimes(
      newStudy(),
      rows("Åse,close,1,1,4.7,,,\nBea,close,1,2,4.8,,,\nÅse,open,1,3,4.6,,,\n"),
    );
    expect(merged.newSkaters).toEqual(["Åse", "Bea"]);
    expect(merged.study.skaters.map((s) => [s.id, s.code])).toEqual([
      ["ase", "S1"],
      ["bea", "S2"],
    ]);
    expect(merged.study.trials).toHaveLength(3);
  });

  it("names every row that fits nothing, and takes none of the table", () => {
    const error = failure(() =>
      mergeTimes(
        PLANNED,
        rows("Anio,open,1,2,4.5,,,\nAino,wide,1,2,4.5,,,\nAino,open,1,2,4.5,,,\nS1,open,1,2,4.6,,,\n"),
      ),
    );
    expect(error.data.rows).toEqual([
      { line: 2, reason: 'there is no skater "Anio" in Plan' },
      { line: 3, reason: 'there is no technique "wide" in Plan' },
      { line: 5, reason: "is the same trial as line 4" },
    ]);
  });
});
