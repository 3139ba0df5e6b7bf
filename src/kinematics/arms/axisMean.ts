import { exactly, type Uncertain, weightedSum } from "../../uncertainty/uncertain.ts";

/** A swing farther from the mean axis is another swing, or wrongly answered: an upper arm on the wrong side turns it by 50°. [judgement] */
const FAR_DEG = 30;
/** Where single swings are had to little, so many standard deviations; at 45° half of a quarter turn tells no axis any more. */
const FAR_SDS = 3;
const FARTHEST_DEG = 45;

const RAD = Math.PI / 180;
const ONE = exactly(1);

/** An axis, whichever way it points and to whichever side: 0° to 90°. Its errors keep their signs. */
export function folded(axis: Uncertain): Uncertain {
  return foldedBy(axis, axis.value);
}

/** A value on the branch of `axisDeg`, folded as that is. */
function foldedBy(value: Uncertain, axisDeg: number): Uncertain {
  const branch = 180 * Math.round(axisDeg / 180);
  const sign = axisDeg < branch ? -1 : 1;
  const at = weightedSum([[sign, value]]);
  return shifted(at, -sign * branch);
}

function shifted(value: Uncertain, by: number): Uncertain {
  return by === 0
    ? value
    : weightedSum([
        [1, value],
        [by, ONE],
      ]);
}

/**
 * Directions of one arm's swings, each folded to the same side, so that their plain mean is the mean of the axes: folded
 * one by one, +4° and −4° would make 4° of an arm that swings straight along, however many swings there are.
 *
 * An axis repeats every 180°, so the swings are first brought to the branch about the mean axis, that of the doubled
 * angles. Null where one of them lies too far from it: then no direction is theirs.
 *
 * @see Mardia and Jupp (2000), Directional Statistics: axial data by doubling the angles (from memory)
 */
export function besideOneAxis(axes: readonly Uncertain[]): readonly Uncertain[] | null {
  const sum = (f: (rad: number) => number) => axes.reduce((s, a) => s + f(2 * RAD * a.value), 0);
  const middle = Math.atan2(sum(Math.sin), sum(Math.cos)) / 2 / RAD;
  const near = axes.map((a) => shifted(a, 180 * Math.round((middle - a.value) / 180)));
  const far = ({ u }: Uncertain) => Math.min(FARTHEST_DEG, Math.max(FAR_DEG, FAR_SDS * u));
  if (near.some((a) => Math.abs(a.value - middle) > far(a))) return null;
  const mean = near.reduce((s, a) => s + a.value, 0) / near.length;
  return near.map((a) => foldedBy(a, mean));
}
