/** The skater's figure: clothes, helmet, gloves, boots and blades over the joints of one pose. */
import * as THREE from "three";
import type { Limb, Pose } from "./body.ts";
import { Loft, type Ring } from "./loft.ts";
import type { Person } from "./people.ts";
import { across, add, cross, length, mid, mix, mul, sub, unit, type V } from "./vec.ts";

const LEG_RINGS = 26;
const ARM_RINGS = 30;
const TRUNK_RINGS = 34;
const AROUND = 20;

/** Radius along a limb from its root (0) to its end (1), metres for a stature of 1.70 m. */
type Profile = readonly (readonly [number, number])[];

const LEG: Profile = [
  ...([
    [0, 0.05],
    [0.04, 0.085],
    [0.12, 0.092],
    [0.3, 0.081],
    [0.44, 0.066],
    [0.5, 0.06],
  ] as const),
  ...([
    [0.56, 0.056],
    [0.66, 0.061],
    [0.74, 0.058],
    [0.88, 0.043],
    [0.96, 0.042],
    [1, 0.04],
  ] as const),
];
const ARM: Profile = [
  ...([
    [0, 0.005],
    [0.02, 0.05],
    [0.06, 0.066],
    [0.13, 0.064],
    [0.35, 0.05],
    [0.54, 0.045],
    [0.62, 0.047],
  ] as const),
  ...([
    [0.8, 0.041],
    [0.96, 0.034],
    [1, 0.033],
  ] as const),
];
/** Half width and half depth of the trunk from the crotch (0) to the neck (1). */
const TRUNK: readonly (readonly [number, number, number])[] = [
  ...([
    [0, 0.06, 0.06],
    [0.05, 0.14, 0.11],
    [0.14, 0.175, 0.13],
    [0.26, 0.163, 0.12],
  ] as const),
  ...([
    [0.42, 0.134, 0.102],
    [0.6, 0.152, 0.115],
    [0.76, 0.18, 0.122],
    [0.87, 0.19, 0.1],
  ] as const),
  ...([
    [0.93, 0.155, 0.085],
    [0.965, 0.07, 0.066],
    [1, 0.055, 0.056],
  ] as const),
];

function lookUp(table: readonly (readonly number[])[], u: number, column: number): number {
  const i = Math.max(
    1,
    table.findIndex((row) => row[0]! >= u),
  );
  const [low, high] = [table[i - 1]!, table[i]!];
  const k = (u - low[0]!) / (high[0]! - low[0]!);
  return low[column]! + (high[column]! - low[column]!) * k * k * (3 - 2 * k);
}

/** A point on the way root, joint, end, with the corner at the joint rounded. */
function along(root: V, joint: V, end: V, u: number): V {
  const round = 0.09;
  const at = (v: number): V => (v < 0.5 ? mix(root, joint, 2 * v) : mix(joint, end, 2 * v - 1));
  if (Math.abs(u - 0.5) >= round) return at(u);
  const k = (u - 0.5 + round) / (2 * round);
  const [a, b] = [at(0.5 - round), at(0.5 + round)];
  return add(add(mul(a, (1 - k) ** 2), mul(joint, 2 * k * (1 - k))), mul(b, k * k));
}

function limbRings(root: V, joint: V, end: V, hinge: V, n: number, profile: Profile, size: number): Ring[] {
  return Array.from({ length: n }, (_, i): Ring => {
    const u = i / (n - 1);
    const tangent = unit(
      sub(along(root, joint, end, Math.min(1, u + 0.03)), along(root, joint, end, Math.max(0, u - 0.03))),
    );
    const a = across(hinge, tangent);
    const r = lookUp(profile, u, 1) * size;
    return { centre: along(root, joint, end, u), a, b: cross(tangent, a), ra: r, rb: r * 1.06 };
  });
}

interface LimbMeshes {
  readonly leg: Loft;
  readonly arm: Loft;
  readonly boot: Loft;
  readonly glove: THREE.Mesh;
  readonly holder: THREE.Mesh;
  readonly runner: THREE.Mesh;
}

/** The runner seen from the side: straight lower edge, toe end swept up, heel end square; x forward, y up. */
function runnerShape(): THREE.Shape {
  const s = new THREE.Shape();
  s.moveTo(-0.14, 0);
  s.lineTo(0.128, 0);
  s.quadraticCurveTo(0.15, 0.002, 0.156, 0.024);
  s.lineTo(0.142, 0.034);
  s.lineTo(-0.142, 0.03);
  s.lineTo(-0.14, 0);
  return s;
}

function holderShape(): THREE.Shape {
  const s = new THREE.Shape();
  s.moveTo(-0.135, 0.028);
  s.lineTo(0.14, 0.03);
  s.lineTo(0.118, 0.07);
  s.lineTo(0.045, 0.07);
  s.lineTo(0.02, 0.046);
  s.lineTo(-0.045, 0.046);
  s.lineTo(-0.06, 0.07);
  s.lineTo(-0.125, 0.07);
  s.lineTo(-0.135, 0.028);
  return s;
}

function plate(shape: THREE.Shape, thick: number, material: THREE.Material): THREE.Mesh {
  const geometry = new THREE.ExtrudeGeometry(shape, { depth: thick, bevelEnabled: false, curveSegments: 5 });
  geometry.translate(0, 0, -thick / 2);
  return new THREE.Mesh(geometry, material);
}

const three = (v: V): THREE.Vector3 => new THREE.Vector3(v[0], v[1], v[2]);

/** Puts a mesh at `at` with its own x, y, z along the three given directions. */
function put(mesh: THREE.Object3D, at: V, x: V, y: V, z: V): void {
  mesh.quaternion.setFromRotationMatrix(new THREE.Matrix4().makeBasis(three(x), three(y), three(z)));
  mesh.position.copy(three(at));
}

export class Figure {
  readonly group = new THREE.Group();
  private readonly size: number;
  private readonly trunk: Loft;
  private readonly head: THREE.Group;
  private readonly limbs: readonly [LimbMeshes, LimbMeshes];

  constructor(person: Person) {
    this.size = person.stature / 1.7;
    const cloth = new THREE.MeshLambertMaterial({ vertexColors: true });
    const hard = new THREE.MeshPhongMaterial({ vertexColors: true, shininess: 40 });
    const steel = new THREE.MeshPhongMaterial({ color: "#434b54", shininess: 90, specular: "#9aa4ad" });
    const plastic = new THREE.MeshLambertMaterial({ color: "#f4f4f1" });
    this.trunk = new Loft(TRUNK_RINGS, 28, cloth, (ring) => {
      const u = ring / (TRUNK_RINGS - 1);
      if (u < 0.22) return person.tights;
      return u > 0.53 && u < 0.62 ? person.stripe : person.jacket;
    });
    this.group.add(this.trunk.mesh);

    const limb = (): LimbMeshes => {
      const leg = new Loft(LEG_RINGS, AROUND, cloth, (ring) =>
        ring > 0.93 * LEG_RINGS ? person.stripe : person.tights,
      );
      const arm = new Loft(ARM_RINGS, AROUND, cloth, (ring) => {
        const u = ring / (ARM_RINGS - 1);
        return u > 0.94 || (u > 0.27 && u < 0.36) ? person.stripe : person.jacket;
      });
      const boot = new Loft(9, 16, hard, (ring) => (ring < 2 ? "#dcdcd6" : "#16181d"));
      const glove = new THREE.Mesh(
        new THREE.SphereGeometry(1, 16, 12),
        new THREE.MeshLambertMaterial({ color: person.gloves }),
      );
      glove.scale.set(0.034 * this.size, 0.045 * this.size, 0.068 * this.size);
      const made = { leg, arm, boot, glove };
      const holder = plate(holderShape(), 0.018, plastic);
      const runner = plate(runnerShape(), 0.0045, steel);
      this.group.add(leg.mesh, arm.mesh, boot.mesh, glove, holder, runner);
      return { ...made, holder, runner };
    };
    this.limbs = [limb(), limb()];
    this.head = helmet(person, this.size);
    this.group.add(this.head);
    this.group.traverse((o) => {
      o.frustumCulled = false;
    });
  }

  pose(pose: Pose): void {
    const { size } = this;
    const trunkUp = unit(sub(pose.midShoulder, pose.midHip));
    const hips = unit(sub(pose.left.hip, pose.right.hip));
    const shoulders = unit(sub(pose.left.shoulder, pose.right.shoulder));
    const bottom = add(pose.midHip, mul(trunkUp, -0.1 * size));
    const neck = add(mix(pose.midShoulder, pose.head, 0.42), mul(trunkUp, 0.01));
    const rings = Array.from({ length: TRUNK_RINGS }, (_, i): Ring => {
      const u = i / (TRUNK_RINGS - 1);
      const k = u * u * (3 - 2 * u);
      const side = across(mix(hips, shoulders, k), trunkUp);
      const back = cross(trunkUp, side);
      // The back is rounded: the middle of the trunk lies behind the straight line.
      const straight =
        u < 0.88 ? mix(bottom, pose.midShoulder, u / 0.88) : mix(pose.midShoulder, neck, (u - 0.88) / 0.12);
      const centre = add(straight, mul(back, 0.035 * size * Math.sin(Math.PI * Math.min(1, u / 0.9))));
      return { centre, a: side, b: back, ra: lookUp(TRUNK, u, 1) * size, rb: lookUp(TRUNK, u, 2) * size };
    });
    this.trunk.shape(rings);
    this.dress(this.limbs[0], pose.left, hips, pose.midShoulder);
    this.dress(this.limbs[1], pose.right, hips, pose.midShoulder);
    const ahead = unit([pose.facing[0], pose.facing[1], 0.12]);
    const side = unit(cross([0, 0, 1], ahead));
    put(this.head, pose.head, ahead, side, cross(ahead, side));
  }

  private dress(meshes: LimbMeshes, limb: Limb, hips: V, chest: V): void {
    const { size } = this;
    const forward = unit(sub(limb.toe, limb.heel));
    const side = unit(cross(limb.up, forward));
    const cuff = add(limb.ankle, mul(limb.up, 0.085));
    meshes.leg.shape(limbRings(limb.hip, limb.knee, cuff, hips, LEG_RINGS, LEG, size));
    const elbowHinge = cross(sub(limb.elbow, limb.shoulder), sub(limb.wrist, limb.elbow));
    // The sleeve begins inside the trunk, so that no gap opens at the shoulder.
    const root = mix(limb.shoulder, chest, 0.16);
    meshes.arm.shape(limbRings(root, limb.elbow, limb.wrist, unit(elbowHinge), ARM_RINGS, ARM, size));

    const reach = unit(sub(limb.wrist, limb.elbow));
    const palm = across(hips, reach);
    put(meshes.glove, add(limb.wrist, mul(reach, 0.052 * size)), palm, cross(reach, palm), reach);

    const centre = mid(limb.heel, limb.toe);
    put(meshes.runner, centre, forward, limb.up, cross(forward, limb.up));
    put(meshes.holder, centre, forward, limb.up, cross(forward, limb.up));
    meshes.boot.shape(
      bootRings(centre, forward, limb.up, side, cuff, length(sub(limb.toe, limb.heel)) / 0.28),
    );
  }
}

/** Sole to cuff: each row is height, place forward, half length, half width; metres. */
const BOOT = [
  [0.068, 0.002, 0.02, 0.01],
  [0.07, 0.002, 0.132, 0.042],
  [0.088, 0.002, 0.14, 0.049],
  [0.112, -0.012, 0.122, 0.049],
  [0.14, -0.03, 0.092, 0.047],
  [0.17, -0.04, 0.069, 0.046],
  [0.2, -0.042, 0.061, 0.047],
  [0.226, -0.042, 0.062, 0.049],
  [0.228, -0.042, 0.04, 0.03],
] as const;

function bootRings(centre: V, forward: V, up: V, side: V, cuff: V, scale: number): Ring[] {
  return BOOT.map(([height, ahead, half, wide]): Ring => {
    const own = add(centre, add(mul(up, height), mul(forward, ahead)));
    // The upper rings follow the shin.
    const shin = Math.max(0, (height - 0.13) / 0.1);
    const at = mix(own, cuff, 0.5 * shin);
    return { centre: at, a: forward, b: side, ra: half * scale, rb: wide * scale };
  });
}

function helmet(person: Person, size: number): THREE.Group {
  const group = new THREE.Group();
  const shell = new THREE.MeshPhongMaterial({ color: person.helmet, shininess: 60, specular: "#444444" });
  const dark = new THREE.MeshLambertMaterial({ color: "#15181d" });
  const grid = new THREE.MeshLambertMaterial({ color: "#858e96" });
  const band = new THREE.MeshLambertMaterial({ color: person.stripe });
  const ball = (material: THREE.Material, sx: number, sy: number, sz: number, x: number, z: number) => {
    const mesh = new THREE.Mesh(new THREE.SphereGeometry(1, 24, 18), material);
    mesh.scale.set(sx * size, sy * size, sz * size);
    mesh.position.set(x * size, 0, z * size);
    group.add(mesh);
  };
  // Shell, a band over its crown, the dark behind the face grid, the grid's bars and the chin cup.
  ball(shell, 0.128, 0.104, 0.112, -0.008, 0.03);
  ball(band, 0.1295, 0.026, 0.1135, -0.008, 0.03);
  ball(shell, 0.1, 0.098, 0.09, -0.02, -0.03);
  ball(dark, 0.102, 0.08, 0.105, 0.028, -0.03);
  ball(band, 0.04, 0.045, 0.026, 0.085, -0.115);
  for (const z of [-0.095, -0.06, -0.025, 0.005]) {
    const bar = new THREE.Mesh(new THREE.TorusGeometry(0.086 * size, 0.0035 * size, 6, 18, Math.PI), grid);
    bar.rotation.set(0, 0, -Math.PI / 2);
    bar.position.set(0.046 * size, 0, z * size);
    group.add(bar);
  }
  return group;
}
