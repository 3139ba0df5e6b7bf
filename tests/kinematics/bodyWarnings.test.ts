import { describe, expect, it } from "vitest";
import { bodyWarnings } from "../../src/kinematics/warnings/bodyWarnings.ts";
import type { Body } from "../../src/study/types.ts";

const codes = (body: Body) => bodyWarnings(body).map((w) => w.code);

// Shares of stature by Drillis and Contini (1966), as in docs/references.md: upper arm 0.186, forearm 0.146; hip 0.530.
describe("body lengths that do not go together", () => {
  it.each<[string, Body]>([
    ["none", {}],
    ["by the shares themselves", { stature: 1.8, upperArm: 0.335, forearm: 0.263, hipHeight: 0.82 }],
    ["long arms", { stature: 1.8, upperArm: 0.37, forearm: 0.29 }],
    ["short ones", { stature: 1.6, upperArm: 0.265, forearm: 0.21, hipHeight: 0.7 }],
    ["arms alone", { upperArm: 0.31, forearm: 0.26 }],
    ["a hip height alone", { hipHeight: 1 }],
  ])("are not seen: %s", (_, body) => {
    expect(codes(body)).toEqual([]);
  });

  it("are seen where upper arm and forearm have changed places", () => {
    expect(codes({ upperArm: 0.26, forearm: 0.31 })).toEqual(["limbs-exchanged"]);
  });

  it("are seen where a limb is not this skater's, with both numbers", () => {
    const [said] = bodyWarnings({ stature: 1.8, upperArm: 0.22 });
    expect(said).toMatchObject({ code: "limb-unlike-stature", text: expect.stringMatching(/33 cm.*22 cm/) });
    expect(codes({ stature: 1.8, forearm: 0.45 })).toEqual(["limb-unlike-stature"]);
  });

  it("are seen where the hip height is that of standing", () => {
    expect(codes({ stature: 1.8, hipHeight: 0.96 })).toEqual(["hip-height-standing"]);
  });
});
