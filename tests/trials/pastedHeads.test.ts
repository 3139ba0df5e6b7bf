import { describe, expect, it } from "vitest";
import { headOf } from "../../src/trials/pastedHeads.ts";

describe("headings of pasted tables", () => {
  // Dictionary words for "time" in the languages of rinks, and how spreadsheets write a unit beside them; from memory.
  it.each([
    ...[
      "Time",
      "Zeit",
      "Temps",
      "Tid",
      "Tempo",
      "Tiempo",
      "Tijd",
      "Aika",
      "Čas",
      "Result",
      "Results",
      "Seconds",
    ],
    ...["Time, s", "time_s", "Time (s)", "Temps (s)", "Time [sec]", "Time:"],
  ])("%s heads times", (text) => {
    expect(headOf(text)).toBe("time");
  });

  it.each([
    ["No.", "order"],
    ["Nr", "order"],
    ["Skaters", "skater"],
    ["Runs", "repeat"],
    ["Notes", "note"],
    ["DNF", null],
    ["", null],
    ["s", null],
  ] as const)("%s is %s", (text, what) => {
    expect(headOf(text)).toBe(what);
  });
});
