import { describe, expect, it } from "vitest";
import { bodyWords } from "../../app/places/measure/numbers/bodyWords.ts";
import { measureTrial } from "../../src/kinematics/measureTrial.ts";
import type { Body } from "../../src/study/types.ts";
import { trialInput } from "../../src/trials/trialInput.ts";
import { demo } from "../helpers/demoReadings.ts";

const BODY = { hipHeight: 0.73, upperArm: 0.306, forearm: 0.238, stature: 1.66 };

/** A demo trial with blades, hips and arms marked. */
const input = trialInput(demo(), "aino-close-1");
const words = (body: Body, marks = input.marks) => bodyWords(body, measureTrial({ ...input, marks, body }));

describe("lengths of the body that were not measured", () => {
  it("are told with what stands in for them, where a number rests on it", () => {
    const { hipHeight: _, ...arms } = BODY;
    // Crouched mid-hip from 0.37 to 0.53 of stature, people of 1.5 to 1.9 m: (0.78, 0.10) m, so 95 % is 0.20 m.
    expect(words(arms)).toMatch(
      /^Not measured on this skater: hips are taken to be 0\.78 ± 0\.20 m above the ice\. /,
    );
    // Limb lengths from stature: 4 % SD, so 95 % is 8 %.
    expect(words({ hipHeight: 0.73, stature: 1.66 })).toMatch(/: arms to be .* stature \(± 8 %\)\. /);
  });

  it("are no matter where they were measured, or nothing rests on them", () => {
    expect(words(BODY)).toBeNull();
    const blades = input.marks.filter((m) => m.point.startsWith("blade"));
    expect(words({}, blades)).toBeNull();
  });
});
