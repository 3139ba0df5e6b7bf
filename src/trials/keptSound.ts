import type { KeptSound, Trial, WholeStudy } from "../study/types.ts";
import type { LagFound } from "../views/sound/soundLag.ts";

/** What was heard of two clips, as a view keeps it: to a microsecond, of which a sample has 125. */
export function keptSound(clips: Pick<KeptSound, "clip" | "with">, found: LagFound): KeptSound {
  if (!found.lag) return { ...clips, lag: null, why: found.why };
  const { offset, sd, at, overlap, rate } = found.lag;
  return {
    ...clips,
    lag: {
      ...{ offset: rounded(offset, 6), sd: rounded(sd, 6), at: rounded(at, 6), overlap: rounded(overlap, 6) },
      rate: rate && {
        value: rounded(rate.value, 9),
        sd: Math.max(1e-9, rounded(rate.sd, 9)),
        seconds: rounded(rate.seconds, 6),
      },
    },
  };
}

/** What was heard of a view's clip and the first view's; null where nobody listened to these two. */
export function soundOf(
  { marks }: Pick<WholeStudy, "marks">,
  first: Pick<Trial, "clip">,
  own: Pick<Trial, "id" | "clip">,
): LagFound | null {
  const sound = marks[own.id]?.sound;
  if (!sound || sound.clip !== own.clip || sound.with !== first.clip) return null;
  return lagOf(sound);
}

const lags = new WeakMap<KeptSound, LagFound>();

/** The same object as long as nothing in it has changed, so readings can be remembered by it. */
function lagOf(sound: KeptSound): LagFound {
  const found: LagFound =
    lags.get(sound) ??
    (sound.lag ? { lag: sound.lag } : { lag: null, why: sound.why ?? "nothing is heard in both" });
  lags.set(sound, found);
  return found;
}

function rounded(value: number, digits: number): number {
  return Number(value.toFixed(digits)) + 0;
}
