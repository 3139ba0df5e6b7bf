import type { Blunder } from "./blunder.ts";

/** No mistakes: skaters that nobody told the core of. What is told of them is a false alarm, what is wrong a belief. */

export const UNUSUAL_SKATERS: readonly Blunder[] = [
  {
    name: "a skater who lifts the recovering blade 15 cm",
    unseen: "one view can't tell a lifted blade from one farther along, which u95 says",
    harmless: true,
    conditions: { skater: { lift: 0.15, fromRest: false } },
    spoil: (film) => film,
  },
  {
    name: "a skater who sprints off from rest",
    unseen: "the first strides' direction is half guessed, which u95 says",
    harmless: true,
    conditions: { skater: { fromRest: true } },
    spoil: (film) => film,
  },
];
