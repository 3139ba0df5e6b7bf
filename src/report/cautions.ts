/** Shown in Plan, on the printed run sheet and in the report. Common practice; whoever runs the day decides. */
export const CAUTIONS: readonly string[] = [
  "Maximal sprints on ice: warm up first, wear full protective gear.",
  "Leave at least 15 m of clear run-out and never finish towards the nearer boards; move goals and nets.",
  "Gates, tripods, cables and people stay outside the lane and behind the finish; doors are shut.",
  "No one skates through pain or after a knock to the head. A qualified person decides who may take part; follow the rink's rules and local codes.",
  "Filming and timing people who can be recognised, minors above all, needs written consent, a stated purpose and a deletion date. Never film in changing areas.",
  "Results describe these skaters on this day; they are not medical or selection advice.",
];
