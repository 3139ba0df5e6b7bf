/**
 * Draws a figure's meshes into a picture, in linear light, without a graphics card.
 *
 * A software renderer in a browser took ten times as long for the same few thousand triangles. Depth buffer, one
 * sample a pixel; the caller averages several pictures, each looking from another place within the pixel.
 */
import * as THREE from "three";
import { type Camera, focalPx, rotation } from "./camera.ts";
import { dot, unit, type V } from "./vec.ts";

/** Irradiance from above and from below, and two lamps; linear RGB. */
const SKY: V = [1.37, 1.4, 1.45];
const GROUND: V = [0.73, 0.9, 1.02];
const LAMPS: readonly { readonly towards: V; readonly light: V }[] = [
  { towards: unit([0.35, 0.45, 1]), light: [1.7, 1.63, 1.48] },
  { towards: unit([0.8, -0.7, 0.6]), light: [0.45, 0.49, 0.55] },
];

export interface Box {
  left: number;
  top: number;
  right: number;
  bottom: number;
}

export class Raster {
  readonly width: number;
  readonly height: number;
  /** Red, green, blue and coverage of each pixel, summed over `add`s. */
  readonly sum: Float32Array;
  /** What `sum` may hold anything in; pixels, right and bottom not included. */
  readonly touched: Box;
  private readonly depth: Float32Array;
  private readonly light: Float32Array;
  private readonly now: Box;

  constructor(width: number, height: number) {
    this.width = width;
    this.height = height;
    this.sum = new Float32Array(4 * width * height);
    this.depth = new Float32Array(width * height);
    this.light = new Float32Array(3 * width * height);
    this.touched = nothing(width, height);
    this.now = nothing(width, height);
  }

  clear(): void {
    const { touched, sum, width } = this;
    for (let y = touched.top; y < touched.bottom; y++) {
      sum.fill(0, 4 * (y * width + touched.left), 4 * (y * width + touched.right));
    }
    Object.assign(touched, nothing(width, this.height));
  }

  /** Draws the meshes under `group` and adds the picture to the sum with a weight. */
  add(group: THREE.Object3D, camera: Camera, dx: number, dy: number, weight: number): void {
    const { now, touched, depth, light, sum, width } = this;
    Object.assign(now, nothing(width, this.height));
    group.updateMatrixWorld(true);
    group.traverse((o) => {
      if (o instanceof THREE.Mesh) this.draw(o, camera, dx, dy);
    });
    for (let y = now.top; y < now.bottom; y++) {
      for (let i = y * width + now.left; i < y * width + now.right; i++) {
        if (depth[i] === 0) continue;
        depth[i] = 0;
        sum[4 * i]! += weight * light[3 * i]!;
        sum[4 * i + 1]! += weight * light[3 * i + 1]!;
        sum[4 * i + 2]! += weight * light[3 * i + 2]!;
        sum[4 * i + 3]! += weight;
      }
    }
    touched.left = Math.min(touched.left, now.left);
    touched.top = Math.min(touched.top, now.top);
    touched.right = Math.max(touched.right, now.right);
    touched.bottom = Math.max(touched.bottom, now.bottom);
  }

  private draw(mesh: THREE.Mesh, camera: Camera, dx: number, dy: number): void {
    const lit = litVertices(mesh, camera, dx, dy);
    const index = mesh.geometry.getIndex();
    const n = index ? index.count : lit.length / 6;
    for (let k = 0; k + 2 < n; k += 3) {
      const [a, b, c] = index ? [index.getX(k), index.getX(k + 1), index.getX(k + 2)] : [k, k + 1, k + 2];
      this.triangle(lit, 6 * a!, 6 * b!, 6 * c!);
    }
  }

  private triangle(v: Float64Array, a: number, b: number, c: number): void {
    const { depth, light, now, width, height } = this;
    const [ax, ay, bx, by, cx, cy] = [v[a]!, v[a + 1]!, v[b]!, v[b + 1]!, v[c]!, v[c + 1]!];
    const area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
    if (area === 0 || v[a + 2]! <= 0 || v[b + 2]! <= 0 || v[c + 2]! <= 0) return;
    const left = Math.max(0, Math.ceil(Math.min(ax, bx, cx)));
    const right = Math.min(width - 1, Math.floor(Math.max(ax, bx, cx)));
    const top = Math.max(0, Math.ceil(Math.min(ay, by, cy)));
    const bottom = Math.min(height - 1, Math.floor(Math.max(ay, by, cy)));
    if (left > right || top > bottom) return;
    now.left = Math.min(now.left, left);
    now.right = Math.max(now.right, right + 1);
    now.top = Math.min(now.top, top);
    now.bottom = Math.max(now.bottom, bottom + 1);
    for (let y = top; y <= bottom; y++) {
      for (let x = left; x <= right; x++) {
        const wb = ((x - ax) * (cy - ay) - (y - ay) * (cx - ax)) / area;
        const wc = ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / area;
        const wa = 1 - wb - wc;
        if (wa < 0 || wb < 0 || wc < 0) continue;
        // The reciprocal of depth is straight across the picture.
        const near = wa * v[a + 2]! + wb * v[b + 2]! + wc * v[c + 2]!;
        const i = y * width + x;
        if (near <= depth[i]!) continue;
        depth[i] = near;
        light[3 * i] = wa * v[a + 3]! + wb * v[b + 3]! + wc * v[c + 3]!;
        light[3 * i + 1] = wa * v[a + 4]! + wb * v[b + 4]! + wc * v[c + 4]!;
        light[3 * i + 2] = wa * v[a + 5]! + wb * v[b + 5]! + wc * v[c + 5]!;
      }
    }
  }
}

const nothing = (width: number, height: number): Box => ({ left: width, top: height, right: 0, bottom: 0 });

/** Six numbers a vertex: picture x and y, reciprocal depth, and the light it sends to the camera. */
function litVertices(mesh: THREE.Mesh, camera: Camera, dx: number, dy: number): Float64Array {
  const position = mesh.geometry.getAttribute("position");
  const normal = mesh.geometry.getAttribute("normal");
  const painted = mesh.geometry.getAttribute("color");
  const material = mesh.material as THREE.MeshPhongMaterial;
  const shine = material.shininess ?? 0;
  const specular = material.specular ?? new THREE.Color(0);
  const [right, down, forward] = rotation(camera);
  const f = focalPx(camera);
  const [u0, v0] = [(camera.width - 1) / 2 - dx, (camera.height - 1) / 2 - dy];
  const turn = new THREE.Matrix3().getNormalMatrix(mesh.matrixWorld);
  const [p, n] = [new THREE.Vector3(), new THREE.Vector3()];
  const out = new Float64Array(6 * position.count);
  for (let i = 0; i < position.count; i++) {
    p.fromBufferAttribute(position, i).applyMatrix4(mesh.matrixWorld);
    n.fromBufferAttribute(normal, i).applyMatrix3(turn).normalize();
    const ray: V = [p.x - camera.place[0], p.y - camera.place[1], p.z - camera.place[2]];
    const away = dot(ray, forward);
    out[6 * i] = u0 + (f * dot(ray, right)) / away;
    out[6 * i + 1] = v0 + (f * dot(ray, down)) / away;
    out[6 * i + 2] = 1 / away;
    const facing: V = [n.x, n.y, n.z];
    const up = 0.5 + 0.5 * n.z;
    const distance = Math.hypot(ray[0], ray[1], ray[2]);
    for (let k = 0; k < 3; k++) {
      const own = [material.color.r, material.color.g, material.color.b][k]!;
      const colour = painted && material.vertexColors ? painted.getComponent(i, k) : own;
      let diffuse = GROUND[k]! + (SKY[k]! - GROUND[k]!) * up;
      let gloss = 0;
      for (const lamp of LAMPS) {
        const at = Math.max(0, dot(facing, lamp.towards));
        diffuse += at * lamp.light[k]!;
        if (shine > 0 && at > 0) {
          const half = unit([
            lamp.towards[0] - ray[0] / distance,
            lamp.towards[1] - ray[1] / distance,
            lamp.towards[2] - ray[2] / distance,
          ]);
          gloss += lamp.light[k]! * Math.max(0, dot(facing, half)) ** shine;
        }
      }
      const own2 = [specular.r, specular.g, specular.b][k]!;
      out[6 * i + 3 + k] = (colour * diffuse) / Math.PI + own2 * gloss;
    }
  }
  return out;
}
