import type { SetupSummary } from "../ice/types.ts";
import { type Names, trialLabel, typedText } from "../study/labels.ts";
import type { Study } from "../study/types.ts";
import { formatNumber } from "../uncertainty/format.ts";

const BY = {
  points: "tied by its own ice points",
  background: "tied by its background",
  looked: "tied by somebody's look",
  said: "tied by somebody's word only, so nothing is measured in metres",
} as const;

/** What ties a clip to its camera set-up, and how its camera was turned: "camera set-up “Camera 1”, 8 of the ice points on other clips, …" */
export function setupWords(
  setup: SetupSummary | undefined,
  trial: string,
  study: Study,
  names: Names,
): string {
  const own = setup?.clips.find((clip) => clip.trial === trial);
  if (!setup || !own) return "";
  const { by, dxPx, dyPx } = own;
  const first = setup.clips[0]!.trial;
  const u95 = Math.max(dxPx.u95, dyPx.u95);
  const turned =
    first === trial || by === "said"
      ? ""
      : `; its picture lies ${px(dxPx.value, "right", "left")} and ${px(dyPx.value, "down", "up")} (± ${formatNumber(u95, 1)} px) against that of ${trialLabel(study, first, names)}`;
  return `; camera set-up “${typedText(study, setup.name, names)}”, ${setup.sharedPoints} of the points on other clips, ${BY[by]}${turned}`;
}

function px(value: number, more: string, less: string): string {
  return `${formatNumber(Math.abs(value), 1)} px ${value >= 0 ? more : less}`;
}
