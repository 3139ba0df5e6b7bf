import { parseHTML } from "linkedom";
import { describe, expect, it } from "vitest";
import { poolJson } from "../../src/pool/poolJson.ts";
import { type Evening, poolRows } from "../../src/pool/poolStudies.ts";
import { poolSaid } from "../../src/pool/poolWords.ts";
import type { DrawingDocument } from "../../src/report/figures/drawing.ts";
import { forestFigure } from "../../src/report/figures/forestFigure.ts";
import { newStudy } from "../../src/study/newStudy.ts";

/** An evening of skaters of its own whose differences (b minus a) are these, s; a and b take turns in being first. */
function evening(name: string, differences: readonly number[]): Evening & { date: null } {
  const skaters = differences.map((_, k) => ({ id: `${name}${k}`, name: "", code: `${name}${k}`, body: {} }));
  const trials = differences.flatMap((d, k) =>
    (k % 2 === 0 ? ["a", "b"] : ["b", "a"]).map((technique, j) => ({
      ...{ id: `${name}${k}${technique}`, skater: `${name}${k}`, technique, repeat: 1, order: 2 * k + j + 1 },
      ...{ time: 5 + (technique === "b" ? d : 0), valid: true, speedFactor: 1 },
    })),
  );
  const techniques = ["a", "b"].map((id) => ({ id, name: id, asked: [] }));
  return {
    ...{ name, date: null, study: { ...newStudy(), skaters, trials, techniques } },
    ofTrial: ({ time }) => (time === null ? null : { value: time }),
  };
}

function pooled(evenings: readonly (Evening & { date: null })[]) {
  const rows = poolRows(evenings, { a: ["a"], b: ["b"], quantity: "time_s", byCode: false });
  return poolJson(evenings, { a: "a", b: "b", quantity: "time_s" }, rows);
}

/** Units stay on their number's line. */
const plain = (text: string | undefined) => text?.replaceAll(/[\u00a0\u202f]/g, " ");

// As many skaters each evening, none twice: whatever the variances, the mean is that of the evenings' means.
describe("what several evenings say", () => {
  it("names the evenings whose leaving out moves the mean most, and which of them carries the answer", () => {
    const steady = pooled([
      evening("x", [-0.31, -0.29, -0.31, -0.29]),
      evening("y", [-0.33, -0.31, -0.33, -0.31]),
      evening("z", [-0.36, -0.34, -0.36, -0.34]),
      evening("w", [-0.32, -0.3, -0.32, -0.3]),
    ]);
    expect(steady.conclusion).toBe("settled");
    // Means −0.30, −0.32, −0.35, −0.31: without z −0.310, without x −0.3267.
    expect(plain(poolSaid(steady).further.at(-1))).toBe(
      "Whichever evening is left out, the mean stays between −0.327 (without x) and −0.310 s (without z), and its 95 % interval stays clear of zero each time.",
    );
    const open = pooled([
      evening("x", [0.01, 0, -0.01]),
      evening("y", [0.03, 0.02, 0.01]),
      evening("z", [-0.05, -0.04, -0.06]),
    ]);
    expect(plain(poolSaid(open).further.at(-1))).toBe(
      "Whichever evening is left out, the mean stays between −0.025 (without y) and 0.010 s (without z).",
    );
  });

  it("stands in a picture with a row each, and says of an evening of one skater why it has no interval", () => {
    const figure = forestFigure(
      pooled([evening("x", [-0.31, -0.29]), evening("y", [-0.33, -0.31]), evening("z", [-0.36])]),
    );
    expect(figure?.note).toBe("z: One skater gives no interval.");
    for (const row of ["x: −0.300 s ± 0.127", "y: −0.320 s ± 0.127", "z: no interval", "All evenings"])
      expect(plain(figure?.label)).toContain(row);
    const { document } = parseHTML("<!doctype html><html><body></body></html>");
    const svg = figure!.draw(700, document as unknown as DrawingDocument).outerHTML;
    for (const text of ["x", "y", "z", "All evenings", "A new skater", "faster", "2 skaters", "1 skater"])
      expect(svg).toContain(text);
  });
});
