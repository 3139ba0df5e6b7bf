import { parseHTML } from "linkedom";
import { describe, expect, it } from "vitest";
import { reportPages } from "../../src/report/page/reportPages.ts";
import type { WholeStudy } from "../../src/study/types.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { STUDY } from "../helpers/studyFolder.ts";

// Three skaters timed over 120 ft with two pairs of techniques (common practice, no source). By hand, with R's t.test:
// differences -0.29, -0.45, -0.70: mean -0.48, 95 % interval -0.993 to 0.033, p 0.0566;
// differences -0.33, -0.16, -0.32: mean -0.27, 95 % interval -0.507 to -0.033, p 0.0392; sign-flip p 0.25 in both.

function textOf(a: readonly number[], b: readonly number[]): { study: string; skaters: string[] } {
  const study: WholeStudy["study"] = {
    ...STUDY,
    skaters: a.map((_, k) => ({ id: `s${k}`, name: `Skater ${k + 1}`, code: `S${k + 1}`, body: {} })),
    techniques: [
      { id: "a", name: "one way", asked: [] },
      { id: "b", name: "other way", asked: [] },
    ],
    trials: a.flatMap((time, k) =>
      [
        { technique: "a", time },
        { technique: "b", time: b[k]! },
      ].map((t, i) => ({
        ...{
          ...t,
          id: `s${k}-${t.technique}`,
          skater: `s${k}`,
          repeat: 1,
          order: 2 * k + (k === 1 ? 2 - i : i + 1),
        },
        ...{ valid: true, speedFactor: 1 },
      })),
    ),
    compare: { a: "a", b: "b" },
  };
  const whole = { study, marks: {} };
  const { document } = parseHTML("<!doctype html><html><body></body></html>");
  const { body } = reportPages(whole, {
    ...{ names: "codes", readingOf: measuredOnce(whole), document, made: "" },
    pictureOf: () => null,
  });
  const { document: page } = parseHTML(`<!doctype html><html><body>${body}</body></html>`);
  for (const svg of page.querySelectorAll("svg")) svg.remove();
  const plain = (e: Element) => (e.textContent ?? "").replaceAll("\u00a0", " ").replaceAll("−", "-");
  return {
    study: plain(page.querySelector(".study")!),
    skaters: [...page.querySelectorAll(".skater")].map(plain),
  };
}

describe("the report of three skaters", () => {
  it("says who was faster, and that three can't settle it", () => {
    const { study, skaters } = textOf([5.04, 5.1, 5.12], [4.75, 4.65, 4.42]);
    expect(study).toContain("other way was ahead by 0.48 s");
    expect(study).toContain(
      "For other skaters three are too few (0.48 ± 0.51 s): by chance all three would agree in 1 study of 4.",
    );
    expect(study).toContain("Next: let everybody skate each technique at least twice");
    skaters.forEach((text, k) => {
      expect(text).toContain(`Can’t tell: other way minus one way is ${["-0.29", "-0.45", "-0.70"][k]} s.`);
      expect(text).toContain("Without repeats nobody knows how much one trial scatters");
    });
  });

  it("does not let t alone settle it", () => {
    const { study } = textOf([5.12, 4.89, 4.97], [4.79, 4.73, 4.65]);
    expect(study).toContain(
      "It can’t be told yet which is faster: other way was ahead by 0.27 s on average; all three",
    );
    expect(study).toContain("(0.27 ± 0.24 s)");
  });

  it("leaves out what nobody asked for or measured", () => {
    const { study } = textOf([5.12, 4.89, 4.97], [4.79, 4.73, 4.65]);
    expect(study).toContain("Neither one way nor other way has a band of what was asked");
    expect(study).not.toContain("can’t be judged");
    expect(study).not.toContain("stride width, m");
  });
});
