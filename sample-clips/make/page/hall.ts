/** Everything around the ice that stands still: boards, glass, stands, the gates on their tripods. */
import * as THREE from "three";
import { seeded } from "../random.ts";
import { RINK } from "../rink.ts";
import { GATE_HEIGHT, GATE_Y, GATES } from "../world.ts";
import { iceOutline } from "./ice.ts";

/** An upright band that follows the rink's outline, `outset` metres outside it, between two heights. */
function band(outset: number, low: number, high: number, material: THREE.Material): THREE.Mesh {
  const path = iceOutline(20, outset);
  const position: number[] = [];
  const uv: number[] = [];
  let run = 0;
  path.forEach(([x, y], i) => {
    const [nx, ny] = path[(i + 1) % path.length]!;
    const step = Math.hypot(nx - x, ny - y);
    position.push(x, y, low, nx, ny, low, nx, ny, high, x, y, low, nx, ny, high, x, y, high);
    uv.push(run, low, run + step, low, run + step, high, run, low, run + step, high, run, high);
    run += step;
  });
  const geometry = new THREE.BufferGeometry();
  geometry.setAttribute("position", new THREE.Float32BufferAttribute(position, 3));
  geometry.setAttribute("uv", new THREE.Float32BufferAttribute(uv, 2));
  geometry.computeVertexNormals();
  return new THREE.Mesh(geometry, material);
}

const painted = (colour: string, extra = ""): THREE.ShaderMaterial => {
  const c = new THREE.Color(colour);
  return new THREE.ShaderMaterial({
    side: THREE.DoubleSide,
    vertexShader: `varying vec2 at; void main() { at = uv; gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0); }`,
    fragmentShader: `
      varying vec2 at;
      float hash(vec2 p) { return fract(sin(dot(p, vec2(127.1, 311.7))) * 43758.5453); }
      void main() {
        vec3 colour = vec3(${c.r.toFixed(4)}, ${c.g.toFixed(4)}, ${c.b.toFixed(4)});
        ${extra}
        gl_FragColor = vec4(colour, 1.0);
      }`,
  });
};

/** Seams between the panels, scuffs from pucks, and the shade under the cap rail. */
const PANELS = `
  float seam = smoothstep(0.010, 0.022, abs(mod(at.x, 2.4) - 1.2));
  float scuff = smoothstep(0.93, 1.0, hash(floor(vec2(at.x * 9.0, at.y * 26.0)))) * 0.12;
  colour *= (0.80 + 0.20 * seam) * (1.0 - scuff) * (0.86 + 0.16 * at.y);`;

const SEATS = `
  vec2 seat = vec2(at.x / 0.55, at.y / 0.42);
  vec2 inside = abs(fract(seat) - 0.5);
  float back = smoothstep(0.42, 0.34, inside.x) * smoothstep(0.38, 0.30, inside.y);
  float lit = 0.5 + 0.9 * hash(floor(seat));
  colour = mix(vec3(0.008, 0.010, 0.016), colour * lit, back) * (1.25 - 0.09 * at.y);`;

export function makeHall(): THREE.Group {
  const group = new THREE.Group();
  const cap = RINK.boardHeight;
  group.add(band(0, 0, RINK.kickPlate, painted("#e0c13a", PANELS)));
  group.add(band(0, RINK.kickPlate, cap - 0.06, painted("#eef1f3", PANELS)));
  group.add(band(-0.012, cap - 0.06, cap, painted("#24458c")));
  group.add(band(6, -0.5, 9, painted("#223349", SEATS)));
  const glass = new THREE.MeshBasicMaterial({
    color: "#a9c4d6",
    transparent: true,
    opacity: 0.13,
    side: THREE.DoubleSide,
  });
  group.add(band(0.05, cap, 2.9, glass));
  group.add(band(0.05, 2.87, 2.9, painted("#8fa3b3")));
  const post = new THREE.MeshBasicMaterial({ color: "#6d7c89" });
  const path = iceOutline(20, 0.05);
  let left = 0;
  path.forEach(([x, y], i) => {
    const [nx, ny] = path[(i + 1) % path.length]!;
    const step = Math.hypot(nx - x, ny - y);
    for (; left < step; left += 1.8) {
      const mesh = new THREE.Mesh(new THREE.BoxGeometry(0.04, 0.04, 1.83), post);
      mesh.position.set(x + ((nx - x) * left) / step, y + ((ny - y) * left) / step, cap + 0.915);
      group.add(mesh);
    }
    left -= step;
  });
  for (const x of GATES) for (const y of [GATE_Y, -GATE_Y]) group.add(gate(x, y));
  return group;
}

function rod(from: THREE.Vector3, to: THREE.Vector3, radius: number, material: THREE.Material): THREE.Mesh {
  const mesh = new THREE.Mesh(new THREE.CylinderGeometry(radius, radius, from.distanceTo(to), 10), material);
  mesh.position.copy(from).add(to).multiplyScalar(0.5);
  mesh.quaternion.setFromUnitVectors(new THREE.Vector3(0, 1, 0), to.clone().sub(from).normalize());
  return mesh;
}

/** One photocell or its reflector on a small tripod, with the shade it casts. */
function gate(x: number, y: number): THREE.Group {
  const group = new THREE.Group();
  const metal = new THREE.MeshStandardMaterial({ color: "#3a4047", roughness: 0.5 });
  const body = new THREE.MeshStandardMaterial({ color: "#e8702a", roughness: 0.5 });
  const eye = new THREE.MeshStandardMaterial({ color: "#10141a", roughness: 0.2 });
  const turn = seeded(`gate ${x} ${y}`).next();
  const top = new THREE.Vector3(x, y, 0.62);
  for (let k = 0; k < 3; k++) {
    const angle = 2 * Math.PI * (turn + k / 3);
    const foot = new THREE.Vector3(x + 0.24 * Math.cos(angle), y + 0.24 * Math.sin(angle), 0);
    group.add(rod(foot, top, 0.011, metal), blot(foot.x, foot.y, 0.07, 0.05, 0.4));
  }
  group.add(rod(top, new THREE.Vector3(x, y, GATE_HEIGHT), 0.014, metal));
  const head = new THREE.Mesh(new THREE.BoxGeometry(0.09, 0.07, 0.15), body);
  head.position.set(x, y, GATE_HEIGHT + 0.02);
  const lens = new THREE.Mesh(new THREE.SphereGeometry(0.026, 12, 10), eye);
  lens.position.set(x, y - Math.sign(y) * 0.035, GATE_HEIGHT + 0.03);
  group.add(head, lens, blot(x, y, 0.32, 0.28, 0.22));
  return group;
}

let soft: THREE.Texture | undefined;

/** A round shade on the ice that fades outwards. */
function blot(x: number, y: number, rx: number, ry: number, dark: number): THREE.Mesh {
  if (!soft) {
    const n = 64;
    const data = new Uint8Array(4 * n * n);
    for (let i = 0; i < n * n; i++) {
      const r = Math.hypot((i % n) - 31.5, Math.floor(i / n) - 31.5) / 31.5;
      data[4 * i + 3] = 255 * Math.max(0, 1 - r) ** 2 * (1 + 2 * r);
    }
    soft = new THREE.DataTexture(data, n, n);
    soft.magFilter = THREE.LinearFilter;
    soft.minFilter = THREE.LinearFilter;
    soft.needsUpdate = true;
  }
  const mesh = new THREE.Mesh(
    new THREE.PlaneGeometry(2, 2),
    new THREE.MeshBasicMaterial({
      color: "#0b1a2a",
      map: soft,
      transparent: true,
      opacity: dark,
      depthWrite: false,
    }),
  );
  mesh.position.set(x, y, 0.002);
  mesh.scale.set(rx, ry, 1);
  return mesh;
}
