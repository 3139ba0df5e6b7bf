import { expect, it } from "vitest";
import { comparedTechniques } from "../../src/compare/compareStudy.ts";
import { STUDY } from "../helpers/studyFolder.ts";

const asked = (
  question: string,
  names: readonly string[],
  compare: { a: string; b: string } | null = null,
) => {
  const techniques = names.map((name) => ({ id: name, name, asked: [] }));
  const two = comparedTechniques({ ...STUDY, question, techniques, compare });
  return two && [two.b.id, two.a.id];
};

// English puts the subject first: "Does x beat y?" asks of x. So b is what the question names first, and a what it is held against.
it("compares the techniques in the order in which the question names them", () => {
  expect(asked("Does close recovery beat open recovery?", ["close recovery", "open recovery"])).toEqual([
    "close recovery",
    "open recovery",
  ]);
  expect(asked("Does OPEN recovery beat close recovery?", ["close recovery", "open recovery"])).toEqual([
    "open recovery",
    "close recovery",
  ]);
  expect(asked("Arms across or arms?", ["arms", "arms across", "none"])).toEqual(["arms across", "arms"]);
  expect(asked("Low hips or wide stride?", ["as usual", "low hips", "wide stride"])).toEqual([
    "low hips",
    "wide stride",
  ]);
});

it("keeps what was chosen, and Plan's order where the question names fewer than two", () => {
  const names = ["close", "open"];
  expect(asked("Does close beat open?", names, { a: "close", b: "open" })).toEqual(["open", "close"]);
  expect(asked("Does it help?", names)).toEqual(["open", "close"]);
  expect(asked("Closer than an opener?", names)).toEqual(["open", "close"]);
  expect(asked("close or not?", ["close", ""])).toEqual(["", "close"]);
});
