import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import {
  dayText,
  eveningWords,
  lockPlan,
  missingInPlan,
  planContent,
  planHash,
  planWords,
  withPlanChanges,
} from "../../src/study/lockedPlan.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import { parseStudy } from "../../src/study/parseStudy.ts";
import { sha256 } from "../../src/study/sha256.ts";
import type { Study } from "../../src/study/types.ts";

const trial = (id: string, time: number | null) => ({
  ...{ id, skater: "hale", technique: "close", repeat: 1, order: 1, time, valid: true, speedFactor: 1 },
});

const READY: Study = {
  ...newStudy(),
  question: "Does Hale skate faster with open recovery?",
  skaters: [{ id: "hale", name: "Hale", code: "S1", body: {} }],
  techniques: [
    { id: "close", name: "close recovery", asked: [] },
    { id: "open", name: "open recovery", asked: [{ quantity: "stride_width_m", min: 1.1 }] },
  ],
  compare: { a: "close", b: "open" },
  worthwhile: 0.02,
  trials: [trial("t1", null), trial("t2", null), trial("t3", null)],
  plan: { saidBy: "Mika, at the board", stopWhen: "all are skated" },
};
const AT = "2027-01-14T17:30:00.000Z";
const locked = lockPlan(READY, AT);
const withTimes = (study: Study, n: number): Study => ({
  ...study,
  trials: study.trials.map((t, i) => ({ ...t, time: i < n ? 5 + i / 100 : null })),
});

describe("sha256", () => {
  it("is that of FIPS 180-4, appendix B, and of Node's own OpenSSL for any text", () => {
    // The two worked examples of FIPS 180-2, B.1 and B.2.
    expect(sha256("abc")).toBe("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    expect(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")).toBe(
      "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
    );
    const texts = [
      "",
      "é",
      "→ 0.04 s",
      "𝒳 ⛸",
      "half \ud800 a pair",
      ..."x"
        .repeat(130)
        .split("")
        .map((_, i) => "ä".repeat(i)),
    ];
    for (const text of texts)
      expect(sha256(text)).toBe(createHash("sha256").update(text, "utf8").digest("hex"));
  });
});

describe("a locked plan", () => {
  it("holds what was said beforehand, by code and under a hash that any program can make again", () => {
    const { content, hash, date, changes } = locked.plan!.locked!;
    expect({ date, changes }).toEqual({ date: AT, changes: [] });
    expect(content.skaters).toEqual(["S1"]);
    expect(content.trials).toBe(3);
    // By hand: the content's fields in alphabetical order, as RFC 8785 orders them.
    const text =
      '{"compared":{"a":"close recovery","b":"open recovery"},"quantity":"time_s","question":"Does Hale skate faster with open recovery?","saidBy":"Mika, at the board","skaters":["S1"],"stopWhen":"all are skated","techniques":[{"asked":[],"name":"close recovery"},{"asked":[{"min":1.1,"quantity":"stride_width_m"}],"name":"open recovery"}],"trials":3,"worthwhile":0.02}';
    expect(hash).toBe(createHash("sha256").update(text).digest("hex"));
    expect(parseStudy(JSON.parse(JSON.stringify(locked)))).toEqual(locked);
  });

  it("is refused once there is a time, and while something is missing, which is named", () => {
    expect(() => lockPlan(withTimes(READY, 1), AT)).toThrow(/1 trials have a time/);
    const bare = { ...READY, worthwhile: null, plan: {} };
    expect(missingInPlan(bare)).toEqual([
      "what is worth having",
      "who said what is worth having",
      "when to stop",
    ]);
    expect(() => lockPlan(bare, AT)).toThrow(/worth having/);
    expect(() => lockPlan(locked, AT)).toThrow(/already/);
  });

  it("keeps what was changed after how many trials, and tells it in one sentence", () => {
    const before = withTimes(locked, 2);
    const once = withPlanChanges(before, { ...before, worthwhile: 0.03 }, "2027-01-14T18:00:00.000Z");
    const twice = withPlanChanges(once, { ...once, worthwhile: 0.04 }, "2027-01-14T18:01:00.000Z");
    expect(twice.plan!.locked!.changes).toMatchObject([
      { part: "worthwhile", from: 0.02, to: 0.04, afterTrials: 2 },
    ]);
    const [sentence, early] = planWords(twice, "names");
    expect(sentence).toContain("locked on 14 January 2027");
    expect(sentence).toContain("Changed since: worth having 0.02 → 0.04 s after two trials.");
    expect(early).toContain("Looking early: 2 of 3 planned trials");
    // 0.05 shared by two looks; 2 / 2^7 is the first such p below it.
    expect(early).toContain("a sign-flip p of 0.025 or less, which takes 7 skaters");
    const back = withPlanChanges(twice, { ...twice, worthwhile: 0.02 }, AT);
    expect(back.plan!.locked!.changes).toEqual([]);
    expect(planWords(withTimes(back, 3), "names")).toHaveLength(1);
    expect(planWords(back, "names")[0]).toContain("Nothing in it was changed since.");
  });

  it("notes nothing where nothing of the plan changed, and nothing before it is locked", () => {
    const timed = withTimes(locked, 1);
    expect(withPlanChanges(locked, timed, AT)).toBe(timed);
    expect(withPlanChanges(READY, { ...READY, question: "?" }, AT).plan!.locked).toBeUndefined();
    expect(planWords(READY, "names")).toEqual([]);
  });

  it("says so when the file was changed by another hand, the plan or what it was locked as", () => {
    expect(planWords({ ...locked, worthwhile: 0.05 }, "names")[0]).toContain(
      "worth having 0.02 → 0.05 s, nobody noted when",
    );
    const { plan } = locked;
    const forged = { ...plan!.locked!, content: { ...plan!.locked!.content, worthwhile: 0.05 } };
    const said = planWords({ ...locked, worthwhile: 0.05, plan: { ...plan, locked: forged } }, "names")[0];
    expect(said).toContain("is not as it was locked");
    expect(said).toContain(planHash(forged.content).slice(0, 8));
  });

  it("names nobody under codes", () => {
    const changed = withPlanChanges(
      locked,
      { ...locked, question: "Is Hale faster?", plan: { ...locked.plan, saidBy: "Hale" } },
      AT,
    );
    const said = planWords(changed, "codes").join(" ");
    expect(said).toContain("the question");
    expect(said).not.toContain("Hale");
    expect(planContent(changed).skaters).toEqual(["S1"]);
  });
});

describe("the evening", () => {
  it("is said in one sentence of what was noted, without who timed under codes", () => {
    const study: Study = {
      ...READY,
      date: "2027-02-03",
      conditions: { ice: "fresh", airC: -4, blades: "Hale's 16 mm, Tuesday", timedBy: "Kim" },
    };
    expect(eveningWords(study, "names")).toBe(
      "3 February 2027; ice fresh; air −4 °C; blades Hale's 16 mm, Tuesday; timed by Kim.",
    );
    expect(eveningWords(study, "codes")).toBe(
      "3 February 2027; ice fresh; air −4 °C; blades S1's 16 mm, Tuesday.",
    );
    expect(eveningWords(newStudy(), "names")).toBeNull();
    expect(parseStudy(JSON.parse(JSON.stringify(study)))).toEqual(study);
    expect(dayText("last Tuesday")).toBe("last Tuesday");
  });
});
