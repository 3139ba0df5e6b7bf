import { describe, expect, it } from "vitest";
import { namedByCode, skaterLabels, typedText } from "../../src/study/labels.ts";
import { newStudy } from "../../src/study/newStudy.ts";

const skater = (id: string, name: string, code: string) => ({ id, name, code, body: {} });
const study = {
  ...newStudy(),
  skaters: [skater("aino", "Aino", "S1"), skater("bea", "Bea", ""), skater("wren", "Wren", "S1")],
};

describe("skaters shown by code", () => {
  it("shows neither name nor id, even without a code or with one used twice", () => {
    const shown = [...skaterLabels(study, "codes").values()];
    expect(shown).toEqual(["S1 (1)", "Skater 2", "S1 (3)"]);
  });

  it("takes names out of what people typed, whole words only", () => {
    expect(typedText(study, "Wren fell behind bea; dual beam", "codes")).toBe(
      "S1 (3) fell behind Skater 2; dual beam",
    );
    expect(typedText(study, "Wren fell", "names")).toBe("Wren fell");
  });

  it("takes a name literally, whatever signs it holds", () => {
    const odd = { ...newStudy(), skaters: [skater("x", "A.B (ii)", "S9")] };
    expect(typedText(odd, "A.B (ii) and AxB (ii)", "codes")).toBe("S9 and AxB (ii)");
  });

  it("takes out parts of a name, the longer name first, whether accents are composed or not, and no word that only begins so", () => {
    const club = {
      ...newStudy(),
      skaters: [
        skater("a", "Anna", "S1"),
        skater("b", "Anna Berg", "S2"),
        skater("c", "\u00c5sa von Ek-Lind", "S3"),
      ],
    };
    const said = "Anna Berg before Anna; Berg's push, A\u030asa's edge, lind and Annabel, von here";
    expect(typedText(club, said, "codes")).toBe(
      "S2 before S1; S2's push, S3's edge, S3 and Annabel, von here",
    );
  });

  it("does not take a code that was put in for another skater's name", () => {
    const odd = { ...newStudy(), skaters: [skater("a", "Kaisla", "Bo"), skater("b", "Bo", "S2")] };
    expect(typedText(odd, "Kaisla, Bo", "codes")).toBe("Bo, S2");
  });

  it("knows a code that is or holds somebody's name", () => {
    const of = (...all: [string, string][]) =>
      namedByCode({ ...newStudy(), skaters: all.map(([name, code], k) => skater(`${k}`, name, code)) }).map(
        (s) => s.code,
      );
    expect(of(["Aino", "aino"], ["Bea Lund", "B. Lund"], ["Wren", "W1"])).toEqual(["aino", "B. Lund"]);
    expect(of(["S1", "S1"], ["Skater 2", ""], ["Tove", "TV"])).toEqual([]);
  });
});
