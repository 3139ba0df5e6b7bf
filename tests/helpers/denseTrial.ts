import type { MeasureInput } from "../../src/kinematics/types.ts";
import type { Mark } from "../../src/study/types.ts";
import { type Filming, filmedTrial } from "./filmedTrial.ts";
import { normal } from "./random.ts";
import type { SimulatedSkater } from "./skater.ts";

/**
 * A filmed trial with both blades marked in every frame from before its first event to after its last.
 * `sparse` is the same trial marked at its event frames only, by the very same marks.
 */
export function denseTrial(skater: SimulatedSkater, filming: Filming) {
  const { input, frames } = filmedTrial(skater, filming);
  const { camera, fps, random, noisePx } = filming;
  const sparse: MeasureInput = { ...input, marks: input.marks.filter((m) => m.point.startsWith("blade")) };
  const marked = new Set(sparse.marks.map((m) => `${m.frame}${m.side}${m.point}`));
  const all = sparse.events.map((e) => e.frame);
  const more: Mark[] = [];
  for (let frame = Math.min(...all) - 12; frame <= Math.max(...all) + 12; frame++) {
    const time = frame / fps;
    for (const side of ["left", "right"] as const) {
      const ends = [
        ["blade_heel", skater.heel(side, time)],
        ["blade_toe", skater.toe(side, time)],
      ] as const;
      for (const [point, at] of ends) {
        if (frame < 0 || marked.has(`${frame}${side}${point}`)) continue;
        const seen = camera.see(at.x, at.y, at.z);
        const [xPx, yPx] = [seen.xPx + noisePx * normal(random), seen.yPx + noisePx * normal(random)];
        if (xPx < 0 || yPx < 0 || xPx > camera.width - 1 || yPx > camera.height - 1) continue;
        more.push({ frame, time, point, side, xPx, yPx });
      }
    }
  }
  return { sparse, dense: { ...sparse, marks: [...sparse.marks, ...more] }, frames };
}
