/** The browser's part of the generator: draws the empty hall of a clip once. The skater is painted over it in Node. */
import * as THREE from "three";
import { type Camera, focalPx } from "../camera.ts";
import type { LaneMark } from "../world.ts";
import { makeHall } from "./hall.ts";
import { makeIce } from "./ice.ts";

/** Light in, picture out: sRGB's own curve, and a static half step of noise against banding. Top row first. */
const FINISH = `
  uniform sampler2D hall; uniform vec2 picture;
  float hash(vec2 p) { return fract(sin(dot(p, vec2(12.9898, 78.233))) * 43758.5453); }
  void main() {
    vec2 px = gl_FragCoord.xy;
    vec3 c = clamp(texture2D(hall, vec2(px.x / picture.x, 1.0 - px.y / picture.y)).rgb, 0.0, 1.0);
    vec3 s = mix(c * 12.92, 1.055 * pow(c, vec3(1.0 / 2.4)) - 0.055, step(0.0031308, c));
    gl_FragColor = vec4(s + (hash(px) - 0.5) / 255.0, 1.0);
  }`;

function lamps(): THREE.Light[] {
  const sky = new THREE.HemisphereLight("#f4f7fb", "#b9cbd8", 1.5);
  sky.position.set(0, 0, 1);
  const key = new THREE.DirectionalLight("#fffaf0", 1.7);
  key.position.set(0.35, 0.45, 1);
  return [sky, key];
}

/** RGBA rows of the hall without a skater, as a clip's camera sees it. */
async function drawHall(filming: Camera, marks: readonly LaneMark[]): Promise<void> {
  const { width, height, place, aim } = filming;
  const renderer = new THREE.WebGLRenderer({ antialias: false });
  const fov = (360 / Math.PI) * Math.atan(height / 2 / focalPx(filming));
  const camera = new THREE.PerspectiveCamera(fov, width / height, 0.5, 140);
  camera.up.set(0, 0, 1);
  camera.position.set(...place);
  camera.lookAt(...aim);

  const scene = new THREE.Scene();
  scene.background = new THREE.Color("#0d1218");
  const ice = makeIce(marks);
  ice.renderOrder = -2;
  scene.add(ice, makeHall(), ...lamps());
  const hall = new THREE.WebGLRenderTarget(2 * width, 2 * height, { type: THREE.HalfFloatType, samples: 4 });
  renderer.setRenderTarget(hall);
  renderer.render(scene, camera);

  const finish = new THREE.Mesh(
    new THREE.PlaneGeometry(2, 2),
    new THREE.ShaderMaterial({
      vertexShader: "void main() { gl_Position = vec4(position.xy, 0.0, 1.0); }",
      fragmentShader: FINISH,
      uniforms: { hall: { value: hall.texture }, picture: { value: new THREE.Vector2(width, height) } },
      depthTest: false,
    }),
  );
  const out = new THREE.WebGLRenderTarget(width, height, { depthBuffer: false });
  renderer.setRenderTarget(out);
  renderer.render(finish, new THREE.Camera());
  const bytes = new Uint8Array(4 * width * height);
  renderer.readRenderTargetPixels(out, 0, 0, width, height, bytes);
  const answer = await fetch("/hall", { method: "POST", body: bytes });
  if (!answer.ok) throw new Error(`the hall could not be handed over: ${answer.status}`);
}

Object.assign(window, { drawHall });
