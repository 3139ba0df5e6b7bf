import type { Technique } from "../study/types.ts";
import { offeredBands, withEdges } from "./offeredBands.ts";

/** A question that is often asked, with all that has to be planned for it but how much would matter: that is the coach's. */
export interface PresetQuestion {
  readonly key: "widths" | "arms";
  /** On its button. */
  readonly name: string;
  readonly question: string;
  /** The first is `a`, what the second is held against. */
  readonly techniques: readonly [Omit<Technique, "id">, Omit<Technique, "id">];
  /** What has to be done for it to be told. */
  readonly needs: string;
}

const asked = (quantity: "touchdown_to_track_midline_m" | "arm_swing_direction_deg", word: string) => [
  withEdges({ quantity }, offeredBands(quantity).find((b) => b.word.startsWith(word))!),
];

export const PRESET_QUESTIONS: readonly PresetQuestion[] = [
  {
    key: "widths",
    name: "Close or open recovery?",
    question: "Does open recovery beat close recovery?",
    techniques: [
      { name: "close recovery", asked: asked("touchdown_to_track_midline_m", "close") },
      { name: "open recovery", asked: asked("touchdown_to_track_midline_m", "open") },
    ],
    needs: "Needs both ends of the blades at blade-off and blade-on.",
  },
  {
    key: "arms",
    name: "Arms along or across?",
    question: "Do arms along beat arms across?",
    techniques: [
      { name: "arms across", asked: asked("arm_swing_direction_deg", "across") },
      { name: "arms along", asked: asked("arm_swing_direction_deg", "along") },
    ],
    needs:
      "Needs each skater's upper arm and forearm, or stature, and shoulder, elbow and wrist where an arm is farthest forward and back.",
  },
];
