import { type MeasureDocument, measureTables } from "../drive.ts";
import { type FilmedTrial, ORDINARY } from "../film.ts";
import { judge, POSITIONS, type Verdict } from "../judge.ts";
import { PLACEMENTS, type Placement } from "../placements.ts";
import { dice } from "../random.ts";
import { sharedFilm } from "../sharedFilm.ts";
import { SEED } from "../simulate.ts";
import type { Blunder } from "./blunder.ts";

/** What came of one spoiled trial. */
export interface Outcome {
  /**
   * `refused`: no metres, or fewer than half the figures; `told`: a warning that the trial without the mistake does not
   * have; `unseen`: neither, though a figure or two may be refused.
   */
  readonly how: "refused" | "told" | "unseen";
  /** Codes of the warnings that told. */
  readonly codes: readonly string[];
  /** Figures shown, and those that miss the truth by more than twice their u95 (one in ten thousand of a normal). */
  readonly shown: number;
  readonly wrong: number;
  /** The worst of the latter, as a share of u95, and what it is. */
  readonly worst: { readonly quantity: string; readonly error: number; readonly u95: number } | null;
}

/** Cameras the table is about: as coaches put them, with ice points marked once. */
export const BLUNDER_PLACEMENTS: readonly Placement[] = PLACEMENTS.filter(
  (p) => p.follows === null && p.height === 3 && [10, 14, 20].includes(p.distance),
);

const STATED_PX = 1;
/** An error of so many u95 is no luck. */
const WRONG = 2;

/** Warnings that give advice and name no mistake. */
const ADVICE = new Set([
  "better-placement",
  "few-ice-points",
  "outside-ice-points",
  "time-extrapolated",
  "other-part-of-the-lane",
]);

/** Skater `who` in front of a camera, with a mistake and without it; null where there is no chance for it. */
export function tryBlunder(blunder: Blunder, placement: Placement, who: number): Outcome | null {
  const film = sharedFilm(SEED, placement, who, { ...ORDINARY, ...blunder.conditions });
  if (!film || (blunder.where && !blunder.where(placement))) return null;
  const draws = (n: number) => dice(SEED, PLACEMENTS.indexOf(placement), who, 1000 + n);
  const spoilt = blunder.spoil(film, draws(0));
  if (!spoilt) return null;
  const input = blunder.input;
  const said = measureTables(spoilt, STATED_PX, 0, input && ((plain) => input(plain, spoilt, draws(1))));
  if (typeof said === "string" || said.scale.why) return NOTHING;
  const right = blunder.harmless ? null : measuredRight(sharedFilm(SEED, placement, who)!);
  return compare(film, said, typeof right === "string" ? null : right);
}

/** A trial without the mistake, measured once for all mistakes it is held against. */
function measuredRight(film: FilmedTrial): MeasureDocument | string {
  const known = measured.get(film) ?? measureTables(film, STATED_PX);
  measured.set(film, known);
  return known;
}

const measured = new WeakMap<FilmedTrial, MeasureDocument | string>();

const NOTHING: Outcome = { how: "refused", codes: [], shown: 0, wrong: 0, worst: null };

function compare(film: FilmedTrial, said: MeasureDocument, right: MeasureDocument | null): Outcome {
  const codes = newCodes(said, right);
  const figures = judge(film, said, null, "whatever the side");
  const given = figures.filter((v): v is Given => v.error !== null);
  const [now, before] = [said, right ?? said].map(givenPositions) as [number, number];
  const how = now < before / 2 ? "refused" : codes.length > 0 ? "told" : "unseen";
  const wrong = given.filter(({ error, u95 }) => Math.abs(error) > WRONG * u95);
  const worst = wrong.reduce<Given | null>((a, b) => (a && overU95(a) >= overU95(b) ? a : b), null);
  return { how, codes, shown: given.length, wrong: wrong.length, worst };
}

type Given = Verdict & { readonly error: number };
const overU95 = ({ error, u95 }: Given) => Math.abs(error) / u95;

/** Codes that are told more often than without the mistake. */
function newCodes(said: MeasureDocument, right: MeasureDocument | null): string[] {
  const count = ({ warnings, scale }: MeasureDocument) => {
    const times = new Map<string, number>();
    for (const { code } of [...warnings, ...(scale.warnings ?? [])])
      times.set(code, (times.get(code) ?? 0) + 1);
    return times;
  };
  const before = right ? count(right) : new Map<string, number>();
  return [...count(said)].flatMap(([code, n]) =>
    !ADVICE.has(code) && n > (before.get(code) ?? 0) ? [code] : [],
  );
}

function givenPositions(said: MeasureDocument): number {
  return said.strides.reduce((n, stride) => n + POSITIONS.filter((q) => stride[q]?.value !== null).length, 0);
}
