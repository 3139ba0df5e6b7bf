import { beyond, type Filmer, inPicture, see, type Vec } from "../lens.ts";
import type { Blunder } from "./blunder.ts";

/** Ice points pressed again on a later frame: of a camera that stood still, and of one that was bumped after the marks. */

const SD_PX = 1;
const scaled = (a: Vec, by: number): Vec => [by * a[0], by * a[1], by * a[2]];

/** The camera turned to its right by so many degrees. */
function turned(camera: Filmer, degrees: number): Filmer {
  const [c, s] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  return {
    ...camera,
    into: beyond(scaled(camera.into, c), camera.right, s),
    right: beyond(scaled(camera.right, c), camera.into, -s),
  };
}

function pressedAgain(count: number, degrees: number, unseen: string): Blunder {
  const points = count === 1 ? "one ice point" : `${count} ice points`;
  return {
    name:
      degrees === 0
        ? `no mistake, ${points} pressed again`
        : `tripod turned by ${degrees}°, ${points} pressed again`,
    unseen,
    harmless: degrees === 0,
    spoil: (film) => film,
    input(input, film, d) {
      if (input.iceReference?.kind !== "ice-points") return input;
      const { camera, icePoints } = film.filmed.views[0]!;
      const after = turned(camera, d.chance(0.5) ? degrees : -degrees);
      const seen = icePoints.flatMap(({ label, at }) => {
        const place = see(after, at);
        return place && inPicture(after, place) ? [{ label, place }] : [];
      });
      // Spread over the list, which goes along the lane.
      const chosen = seen
        .filter((_, k) => k % Math.max(1, Math.floor(seen.length / count)) === 0)
        .slice(0, count);
      const rechecks = chosen.map(({ label, place: [x, y] }) => ({
        ...{ frame: 9999, label },
        ...{ xPx: x + d.normal(SD_PX), yPx: y + d.normal(SD_PX) },
      }));
      return { ...input, iceReference: { ...input.iceReference, rechecks } };
    },
  };
}

export const RECHECK_BLUNDERS: readonly Blunder[] = [
  pressedAgain(1, 0, "nothing to see"),
  pressedAgain(3, 0, "nothing to see"),
  pressedAgain(1, 0.1, "0.1° is 2 to 3 px, and one mark of 1 px SD is told from chance at 3 to 4 px"),
  pressedAgain(3, 0.1, "three marks of 1 px SD are told from chance at 2 to 3 px"),
  pressedAgain(3, 0.2, "none should"),
];
