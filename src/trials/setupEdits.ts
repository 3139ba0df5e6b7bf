import { reachOf } from "../ice/setup/fitSetup.ts";
import type { Backgrounds } from "../study/exchange.ts";
import { freshId } from "../study/ids.ts";
import type { CameraSetup, Lens, LikeClip, Picture, Study, TrialMarks } from "../study/types.ts";

type Marks = Readonly<Record<string, TrialMarks>>;

/** Ice points of its own that tell how a clip's camera looked. */
export function ownPoints(marks: TrialMarks | undefined): number {
  const reference = marks?.iceReference;
  return reference?.kind === "ice-points" && reference.copiedFrom === undefined ? reference.points.length : 0;
}

/** The lens that is said of a clip's own camera. */
function lensOf(marks: TrialMarks | undefined): Lens | undefined {
  const reference = marks?.iceReference;
  return reference?.kind === "ice-points" ? reference.lens : undefined;
}

/**
 * The set-ups with a trial's clip joined to another's: to that one's set-up, or to a new one of both. Without two ice points of its
 * own it is taken to look as the other one does, by somebody's word.
 */
export function joined(
  { setups = [] }: Pick<Study, "setups">,
  marks: Marks,
  trial: string,
  other: string,
): readonly CameraSetup[] {
  const left = without({ setups }, marks, trial) ?? [];
  const like: LikeClip | null = ownPoints(marks[trial]) >= 2 ? null : { trial: other, by: "said" };
  const member = { trial, ...(like && { like }) };
  const there = left.find((s) => s.trials.some((t) => t.trial === other));
  if (there) return left.map((s) => (s === there ? { ...s, trials: [...s.trials, member] } : s));
  const number = 1 + Math.max(0, ...left.map((s) => Number(/^Camera (\d+)$/.exec(s.name)?.[1] ?? 0)));
  const id = freshId(
    `camera-${number}`,
    left.map((s) => s.id),
    "camera",
  );
  const lens = lensOf(marks[other]) ?? lensOf(marks[trial]);
  return [
    ...left,
    { id, name: `Camera ${number}`, ...(lens && { lens }), trials: [{ trial: other }, member] },
  ];
}

/**
 * The set-ups without a trial; one of a single clip is none. Clips that were known by it are taken to look as another one does,
 * by somebody's word.
 */
export function without(
  { setups }: Pick<Study, "setups">,
  marks: Marks,
  trial: string,
): readonly CameraSetup[] | undefined {
  return setups?.flatMap((setup): CameraSetup[] => {
    if (!setup.trials.some((t) => t.trial === trial)) return [setup];
    const trials = setup.trials.filter((t) => t.trial !== trial);
    if (trials.length < 2) return [];
    const known = trials.find((t) => !t.like && ownPoints(marks[t.trial]) > 0) ?? trials[0]!;
    return [
      {
        ...setup,
        trials: trials.map((t) => {
          if (t.like?.trial !== trial) return t;
          return t === known
            ? { trial: t.trial }
            : { trial: t.trial, like: { trial: known.trial, by: "said" } };
        }),
      },
    ];
  });
}

/** The set-ups with what is known of one trial's clip by another replaced. */
export function withLike(
  setups: readonly CameraSetup[],
  trial: string,
  like: LikeClip,
): readonly CameraSetup[] {
  return setups.map((setup) =>
    setup.trials.some((t) => t.trial === trial)
      ? { ...setup, trials: setup.trials.map((t) => (t.trial === trial ? { ...t, like } : t)) }
      : setup,
  );
}

/** What the backgrounds of a clip and another of its set-up say, as it is kept; px to thousandths. */
export function foundLike(
  other: string,
  { dxPx, dyPx, turnDeg }: Backgrounds & { readonly alike: true },
  picture: Picture,
): LikeClip {
  const rounded = (v: number, digits: number) => Number(v.toFixed(digits)) + 0;
  const turnU = (turnDeg.u * Math.PI * reachOf(picture)) / 180;
  return {
    trial: other,
    by: "background",
    dxPx: rounded(dxPx.value, 3),
    dyPx: rounded(dyPx.value, 3),
    turnDeg: rounded(turnDeg.value, 6),
    uPx: rounded(Math.max(dxPx.u, dyPx.u, turnU), 3),
  };
}
