import { describe, expect, it } from "vitest";
import type { ClipLink } from "../../src/study/types.ts";
import { trialWithSameClip } from "../../src/trials/sameClip.ts";
import { STUDY } from "../helpers/studyFolder.ts";

const link = (id: string, parts: Partial<ClipLink>): ClipLink => ({
  ...{ id, name: `${id}.mp4`, path: `clips/${id}.mp4`, bytes: 1000 },
  ...parts,
});
const other = (one: Partial<ClipLink>, two: Partial<ClipLink>) =>
  trialWithSameClip(
    {
      ...STUDY,
      clips: [link("a", one), link("b", two)],
      trials: STUDY.trials.map((t, i) => ({ ...t, clip: i === 0 ? "a" : "b" })),
    },
    "t2",
  );

describe("the same film on two trials", () => {
  it("is found by content, whatever the files are called", () => {
    expect(other({ sha256: "11" }, { sha256: "11" })).toBe("t1");
    expect(other({ sha256: "11" }, { sha256: "22" }), "as long, but another film").toBeNull();
    expect(other({}, { sha256: "11" }), "not read yet: as long to the byte").toBe("t1");
    expect(other({}, { bytes: 1001 })).toBeNull();
    const shared = {
      ...STUDY,
      clips: [link("a", {})],
      trials: STUDY.trials.map((t) => ({ ...t, clip: "a" })),
    };
    expect(trialWithSameClip(shared, "t1")).toBe("t2");
  });

  it("may show two runs in different parts", () => {
    const one = { sha256: "11", part: { first: 0, last: 99 } };
    expect(other(one, { sha256: "11", part: { first: 100, last: 200 } })).toBeNull();
    expect(other(one, { sha256: "11", part: { first: 90, last: 200 } })).toBe("t1");
    expect(other(one, { sha256: "11" }), "the whole of it holds that part").toBe("t1");
  });

  it("is not looked for where there is no clip", () => {
    expect(trialWithSameClip(STUDY, "t1")).toBeNull();
  });
});
