import { describe, expect, it } from "vitest";
import { writeTable } from "../../src/study/csv.ts";
import { readTimesCsv, writeTimesCsv } from "../../src/study/tables.ts";

/** What a spreadsheet may run: OWASP, "CSV Injection", characters that begin a formula, full-width forms included. */
const FORMULAS = [
  "=1+1",
  "+1",
  "-1+1",
  "@SUM(A1)",
  "\t=1",
  "\r=1",
  "\n=1",
  "＝1+1",
  "＋1",
  "－1",
  "＠A1",
  "''=1",
];

describe("text that begins like a formula", () => {
  it.each(FORMULAS)("is written so that no spreadsheet runs %j", (text) => {
    const cell = writeTable(["a", "b"], [[text, 1]])
      .split("\r\n")
      .slice(1)
      .join("\r\n")
      .replace(/^"/, "");
    expect(cell.startsWith("'")).toBe(true);
  });

  it("comes back as it was typed, and numbers stay numbers", () => {
    const row = { repeat: 1, order: 1, time: 5.12, valid: true, speedFactor: 1 };
    const typed = ["=HYPERLINK(1)", "＝1", "'quoted", "plain", "-"];
    const back = readTimesCsv(
      writeTimesCsv(typed.map((skater, i) => ({ ...row, skater, technique: "a", order: i + 1 }))),
    );
    expect(back.map((r) => r.skater)).toEqual(typed);
    expect(writeTable(["a"], [[-1.5]])).toBe("a\r\n-1.5\r\n");
  });
});
