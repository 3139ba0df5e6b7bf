import { describe, expect, it } from "vitest";
import { skaterLabels, typedText } from "../../src/study/labels.ts";
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
});
