import { CameraFollower } from "../../../src/motion/followCamera.ts";
import { judgeMotion } from "../../../src/motion/judgeMotion.ts";
import { keptMotion } from "../../../src/motion/keptMotion.ts";
import type { ClipMotion } from "../../../src/study/types.ts";
import { see } from "../lens.ts";
import { dice } from "../random.ts";
import type { FilmedPan } from "./filmPan.ts";
import { type Figure, paint, Surroundings } from "./paint.ts";

/** What the real follower makes of a pan's frames, painted one after the other with the skater in them. */
export function paintedMotion(film: FilmedPan, seed: number): ClipMotion {
  const { course, part, picture, skater, fps } = film;
  const around = new Surroundings(seed, 6);
  const follower = new CameraFollower();
  const frames = [];
  for (let n = part[0]; n <= part[1]; n++) {
    const camera = course.frame(n);
    const [x, y, z] = skater.midHip(n / fps);
    const [hip, ice, head] = [z, 0, 1.6].map((height) => see(camera, [x, y, height]));
    const figure: Figure | undefined =
      hip && ice && head
        ? { x: hip[0], y: hip[1], wide: (ice[1] - head[1]) / 5, tall: (ice[1] - head[1]) / 2 }
        : undefined;
    frames.push(follower.add(paint(camera, around, dice(seed, n), figure)));
  }
  return keptMotion(judgeMotion(frames, picture), "c", part[0], picture);
}
