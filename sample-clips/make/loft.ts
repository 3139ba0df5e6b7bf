/** A closed skin over a row of elliptical rings, rebuilt every frame: limbs and trunk without seams at the joints. */
import * as THREE from "three";
import { add, cross, mul, sub, unit, type V } from "./vec.ts";

export interface Ring {
  readonly centre: V;
  /** Unit vectors of the ellipse's half axes, and their lengths, metres. */
  readonly a: V;
  readonly b: V;
  readonly ra: number;
  readonly rb: number;
}

export class Loft {
  readonly mesh: THREE.Mesh;
  private readonly position: THREE.BufferAttribute;
  private readonly normal: THREE.BufferAttribute;
  private readonly rings: number;
  private readonly around: number;

  /** `paint(ring, angle)` colours the skin once; angle 0 lies along `a`, a quarter turn along `b`. */
  constructor(
    rings: number,
    around: number,
    material: THREE.Material,
    paint: (ring: number, angle: number) => string,
  ) {
    this.rings = rings;
    this.around = around;
    const n = rings * around;
    this.position = new THREE.BufferAttribute(new Float32Array(3 * n), 3);
    this.normal = new THREE.BufferAttribute(new Float32Array(3 * n), 3);
    const colour = new Float32Array(3 * n);
    const index: number[] = [];
    for (let r = 0; r < rings; r++) {
      for (let k = 0; k < around; k++) {
        new THREE.Color(paint(r, (2 * Math.PI * k) / around)).toArray(colour, 3 * (r * around + k));
        if (r === rings - 1) continue;
        const [p, q] = [r * around + k, r * around + ((k + 1) % around)];
        index.push(p, q, p + around, q, q + around, p + around);
      }
    }
    const geometry = new THREE.BufferGeometry();
    geometry.setAttribute("position", this.position);
    geometry.setAttribute("normal", this.normal);
    geometry.setAttribute("color", new THREE.BufferAttribute(colour, 3));
    geometry.setIndex(index);
    this.mesh = new THREE.Mesh(geometry, material);
    this.mesh.frustumCulled = false;
  }

  shape(rings: readonly Ring[]): void {
    const { around, position, normal } = this;
    if (rings.length !== this.rings)
      throw new Error(`a loft of ${this.rings} rings was given ${rings.length}`);
    rings.forEach((ring, r) => {
      const before = rings[Math.max(0, r - 1)]!;
      const after = rings[Math.min(rings.length - 1, r + 1)]!;
      for (let k = 0; k < around; k++) {
        const angle = (2 * Math.PI * k) / around;
        const [c, s] = [Math.cos(angle), Math.sin(angle)];
        const on = (at: Ring): V => add(at.centre, add(mul(at.a, at.ra * c), mul(at.b, at.rb * s)));
        const p = on(ring);
        const around1 = add(mul(ring.a, -ring.ra * s), mul(ring.b, ring.rb * c));
        const n = cross(around1, sub(on(after), on(before)));
        const flat = Math.hypot(...n) < 1e-12;
        const out = flat ? unit(sub(after.centre, before.centre)) : unit(n);
        position.setXYZ(r * around + k, p[0], p[1], p[2]);
        normal.setXYZ(r * around + k, out[0], out[1], out[2]);
      }
    });
    position.needsUpdate = true;
    normal.needsUpdate = true;
  }
}
