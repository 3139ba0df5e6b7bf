import { freshId } from "../../../src/study/ids.ts";
import type { Technique } from "../../../src/study/types.ts";
import { PRESET_QUESTIONS, type PresetQuestion } from "../../../src/trials/presetQuestions.ts";
import type { Command } from "../Command.ts";
import { withStudy } from "../withStudy.ts";

/** Takes a question that is offered: its words where none are typed yet, its two techniques with their bands, compared. */
export const takeQuestion: Command<{ key: PresetQuestion["key"] }> = {
  name: "takeQuestion",
  label: ({ key }) => `take the question of ${key}`,
  run(whole, { key }) {
    const preset = PRESET_QUESTIONS.find((p) => p.key === key);
    if (!preset) return whole;
    const { study } = whole;
    const techniques: Technique[] = [...study.techniques];
    const [a, b] = preset.techniques.map((wanted) => {
      const there = techniques.find((t) => t.name.trim().toLowerCase() === wanted.name);
      if (there) return there.id;
      const id = freshId(
        wanted.name,
        techniques.map((t) => t.id),
        "technique",
      );
      techniques.push({ id, ...wanted });
      return id;
    });
    return withStudy(whole, {
      question: study.question === "" ? preset.question : study.question,
      techniques,
      compare: { a: a!, b: b! },
    });
  },
};
