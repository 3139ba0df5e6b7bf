/** The soft shade under the skater: one pool of it under the body, a small dark one under each skate. */
import * as THREE from "three";
import type { Pose } from "../body.ts";
import { mid } from "../vec.ts";
import { blot } from "./hall.ts";

export class Shade {
  readonly group = new THREE.Group();
  private readonly body = blot(0, 0, 1, 1, 0.34);
  private readonly legs = [blot(0, 0, 0.5, 0.3, 0.2), blot(0, 0, 0.5, 0.3, 0.2)] as const;
  private readonly skates = [blot(0, 0, 0.3, 0.13, 0.6), blot(0, 0, 0.3, 0.13, 0.6)] as const;

  constructor() {
    this.group.add(this.body, ...this.legs, ...this.skates);
    // Under everything, whatever its depth.
    this.group.traverse((o) => {
      o.renderOrder = -1;
      o.frustumCulled = false;
    });
  }

  follow(pose: Pose): void {
    this.body.position.set(pose.midHip[0] + 0.12, pose.midHip[1], 0.002);
    this.body.scale.set(0.72, 0.6, 1);
    for (const [i, limb] of [pose.left, pose.right].entries()) {
      const centre = mid(limb.heel, limb.toe);
      const height = Math.min(1, centre[2] / 0.25);
      const turn = Math.atan2(limb.toe[1] - limb.heel[1], limb.toe[0] - limb.heel[0]);
      const skate = this.skates[i]!;
      skate.position.set(centre[0], centre[1], 0.003);
      skate.rotation.z = turn;
      (skate.material as THREE.MeshBasicMaterial).opacity = 0.62 * (1 - 0.8 * height);
      const under = mid(limb.knee, limb.ankle);
      this.legs[i]!.position.set(under[0], under[1], 0.002);
      this.legs[i]!.rotation.z = turn;
    }
  }
}
