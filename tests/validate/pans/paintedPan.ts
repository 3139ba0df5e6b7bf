import { CameraFollower } from "../../../src/motion/followCamera.ts";
import type { Grey } from "../../../src/motion/grey.ts";
import { judgeMotion } from "../../../src/motion/judgeMotion.ts";
import { keptMotion } from "../../../src/motion/keptMotion.ts";
import type { ClipMotion } from "../../../src/study/types.ts";
import { see } from "../lens.ts";
import { dice } from "../random.ts";
import type { FilmedPan } from "./filmPan.ts";
import { type Figure, paint, Surroundings } from "./paint.ts";

/**
 * A pan's frames, painted one after the other with the skater in them.
 *
 * @param boardsDeg below the horizon, where the ice meets the boards
 */
export function* paintedFrames(
  film: FilmedPan,
  seed: number,
  lettered = false,
  boardsDeg = 6,
): Generator<Grey> {
  const { course, part, skater, fps } = film;
  const around = new Surroundings(seed, boardsDeg, lettered);
  for (let n = part[0]; n <= part[1]; n++) {
    const camera = course.frame(n);
    const [x, y, z] = skater.midHip(n / fps);
    const [hip, ice, head] = [z, 0, 1.6].map((height) => see(camera, [x, y, height]));
    const figure: Figure | undefined =
      hip && ice && head
        ? { x: hip[0], y: hip[1], wide: (ice[1] - head[1]) / 5, tall: (ice[1] - head[1]) / 2 }
        : undefined;
    yield paint(camera, around, dice(seed, n), figure);
  }
}

/** What the real follower makes of them. */
export function paintedMotion(film: FilmedPan, seed: number): ClipMotion {
  const follower = new CameraFollower();
  for (const picture of paintedFrames(film, seed)) follower.add(picture);
  const { frames, bend } = follower.end();
  return keptMotion(judgeMotion(frames, film.picture, bend), "c", film.part[0], film.picture);
}
