import type { Spot } from "./topCorner.ts";

/** From its point to a label's top left corner, screen px. */
export interface LabelPlace {
  readonly dx: number;
  readonly dy: number;
}

const HEIGHT = 19;
const GAP = 12;

/** Width of a label of the canvas, px: 13 px letters, measured wide. */
const widthOf = (text: string) => 8 * text.length + 6;

/**
 * Where the labels of points go so that none lies over another: above right, or where that is taken above left, below
 * right, below left, else further out. The first in the list choose first.
 *
 * @param points on the screen, px
 */
export function labelPlaces(points: readonly (Spot & { readonly label: string })[]): LabelPlace[] {
  const taken: { left: number; top: number; right: number; bottom: number }[] = [];
  return points.map(({ x, y, label }) => {
    const width = widthOf(label);
    const at = (place: LabelPlace) => {
      const [left, top] = [x + place.dx, y + place.dy];
      return { left, top, right: left + width, bottom: top + HEIGHT };
    };
    const choices = [0, 1, 2].flatMap((further) => {
      const [up, down] = [-22 - further * HEIGHT, 4 + further * HEIGHT];
      return [
        { dx: GAP, dy: up },
        { dx: -GAP - width, dy: up },
        { dx: GAP, dy: down },
        { dx: -GAP - width, dy: down },
      ];
    });
    const free = (place: LabelPlace) => {
      const a = at(place);
      return !taken.some((b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom);
    };
    const place = choices.find(free) ?? choices[0]!;
    taken.push(at(place));
    return place;
  });
}
