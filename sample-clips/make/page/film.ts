/**
 * The browser's half of the generator: draws one clip and sends its pictures to the Node half that opened the page.
 *
 * The camera stands still, so the hall is drawn once. Per frame only the skater's part of the picture is drawn,
 * several times over the shutter's opening, averaged in linear light and laid over the hall.
 */
import * as THREE from "three";
import type { Pose } from "../body.ts";
import { focalPx, project } from "../camera.ts";
import { CLIPS, type ClipSpec } from "../people.ts";
import { makeRun, type Run } from "../run.ts";
import { frameTimes } from "../timing.ts";
import { add, type V } from "../vec.ts";
import { Figure } from "./figure.ts";
import { makeHall } from "./hall.ts";
import { makeIce } from "./ice.ts";
import { Shade } from "./shade.ts";

/** Pictures averaged over one opening of the shutter; each also looks from another place within the pixel. */
const OPENINGS = 6;
/** Places within the pixel, from its centre: bases 2 and 3 of the van der Corput sequence. */
const JITTER = Array.from(
  { length: OPENINGS },
  (_, i) => [reversed(i + 1, 2) - 0.5, reversed(i + 1, 3) - 0.5] as const,
);

function reversed(n: number, base: number): number {
  let [value, share] = [0, 1 / base];
  for (let k = n; k > 0; k = Math.floor(k / base), share /= base) value += (k % base) * share;
  return value;
}

interface Region {
  readonly x: number;
  readonly y: number;
  readonly w: number;
  readonly h: number;
}

const linear = (w: number, h: number, samples: number) =>
  new THREE.WebGLRenderTarget(w, h, { type: THREE.HalfFloatType, samples });

const quad = (
  fragment: string,
  uniforms: Record<string, THREE.IUniform>,
  blending: Partial<THREE.ShaderMaterialParameters> = {},
) =>
  new THREE.Mesh(
    new THREE.PlaneGeometry(2, 2),
    new THREE.ShaderMaterial({
      vertexShader: `varying vec2 at; void main() { at = uv; gl_Position = vec4(position.xy, 0.0, 1.0); }`,
      fragmentShader: `varying vec2 at;\n${fragment}`,
      uniforms,
      depthTest: false,
      depthWrite: false,
      ...blending,
    }),
  );

const FINISH = `
  uniform sampler2D hall; uniform sampler2D figure; uniform sampler2D mirrored; uniform sampler2D shade;
  uniform vec4 region; uniform vec2 picture; uniform vec2 feet; uniform float withFigure;
  float hash(vec2 p) { return fract(sin(dot(p, vec2(12.9898, 78.233))) * 43758.5453); }
  void main() {
    // Rows leave the graphics side from the top down: row 0 of the target is the region's top row.
    vec2 px = region.xy + gl_FragCoord.xy;
    vec3 light = texture2D(hall, vec2(px.x / picture.x, 1.0 - px.y / picture.y)).rgb;
    vec2 uv = vec2(at.x, 1.0 - at.y);
    if (withFigure > 0.5) {
      vec4 m = vec4(0.0);
      for (int i = -3; i <= 3; i++) m += texture2D(mirrored, uv + vec2(0.0, float(i) * 2.2 / region.w));
      // The sheen loses what is higher above the ice: feet.x is their row, feet.y the rows it takes.
      m *= 0.30 / 7.0 * exp(-max(0.0, px.y - feet.x) / feet.y);
      light = light * (1.0 - m.a) + m.rgb;
      vec4 s = texture2D(shade, uv);
      light = light * (1.0 - s.a) + s.rgb;
      vec4 f = texture2D(figure, uv);
      light = light * (1.0 - f.a) + f.rgb;
    }
    vec3 c = clamp(light, 0.0, 1.0);
    vec3 srgb = mix(c * 12.92, 1.055 * pow(c, vec3(1.0 / 2.4)) - 0.055, step(0.0031308, c));
    gl_FragColor = vec4(srgb + (hash(px) - 0.5) / 255.0, 1.0);
  }`;

class Studio {
  private readonly renderer = new THREE.WebGLRenderer({ antialias: false, alpha: true });
  private readonly flat = new THREE.Camera();
  private readonly hall: THREE.WebGLRenderTarget;
  private readonly camera: THREE.PerspectiveCamera;
  private readonly figure: Figure;
  private readonly shade: Shade;
  private readonly scene = new THREE.Scene();
  private readonly mirror = new THREE.Scene();
  private readonly sum = quad(
    `uniform sampler2D one; void main() { gl_FragColor = texture2D(one, at) * ${(1 / OPENINGS).toFixed(6)}; }`,
    { one: { value: null } },
    {
      transparent: true,
      blending: THREE.CustomBlending,
      blendSrc: THREE.OneFactor,
      blendDst: THREE.OneFactor,
    },
  );
  private readonly finish = quad(FINISH, {
    ...{ hall: { value: null }, figure: { value: null }, mirrored: { value: null }, shade: { value: null } },
    ...{
      region: { value: new THREE.Vector4() },
      picture: { value: new THREE.Vector2() },
      withFigure: { value: 0 },
    },
    feet: { value: new THREE.Vector2(0, 1) },
  });
  private one = linear(16, 16, 0);
  private all = linear(16, 16, 0);
  private half = linear(16, 16, 0);
  private dark = linear(16, 16, 0);
  private out = new THREE.WebGLRenderTarget(16, 16, { depthBuffer: false });

  constructor(private readonly clip: ClipSpec) {
    const { camera } = clip;
    const [w, h] = [camera.width, camera.height];
    this.renderer.autoClear = false;
    this.renderer.setClearColor(0, 0);
    this.camera = new THREE.PerspectiveCamera(
      (360 / Math.PI) * Math.atan(h / 2 / focalPx(camera)),
      w / h,
      0.5,
      140,
    );
    this.camera.up.set(0, 0, 1);
    this.camera.position.set(...camera.place);
    this.camera.lookAt(...camera.aim);
    this.hall = linear(w * 2, h * 2, 4);
    this.figure = new Figure(clip.run.person);
    this.shade = new Shade();
    this.scene.add(this.figure.group, ...lamps());
    this.mirror.add(...lamps());
    this.drawHall();
  }

  private drawHall(): void {
    const scene = new THREE.Scene();
    scene.background = new THREE.Color("#0d1218");
    const ice = makeIce(this.clip.marks);
    ice.renderOrder = -2;
    scene.add(ice, makeHall(), ...lamps());
    this.renderer.setRenderTarget(this.hall);
    this.renderer.clear();
    this.renderer.render(scene, this.camera);
    const uniforms = (this.finish.material as THREE.ShaderMaterial).uniforms;
    uniforms.hall!.value = this.hall.texture;
    uniforms.picture!.value.set(this.clip.camera.width, this.clip.camera.height);
  }

  /** 8-bit RGBA rows of a region, top row first. */
  private read(region: Region, withFigure: boolean): Uint8Array {
    const uniforms = (this.finish.material as THREE.ShaderMaterial).uniforms;
    uniforms.region!.value.set(region.x, region.y, region.w, region.h);
    uniforms.withFigure!.value = withFigure ? 1 : 0;
    uniforms.figure!.value = this.all.texture;
    uniforms.mirrored!.value = this.half.texture;
    uniforms.shade!.value = this.dark.texture;
    if (this.out.width !== region.w || this.out.height !== region.h) this.out.setSize(region.w, region.h);
    this.draw(this.finish, this.flat, this.out, false);
    const bytes = new Uint8Array(4 * region.w * region.h);
    this.renderer.readRenderTargetPixels(this.out, 0, 0, region.w, region.h, bytes);
    return bytes;
  }

  private draw(
    what: THREE.Object3D,
    camera: THREE.Camera,
    into: THREE.WebGLRenderTarget,
    clear: boolean,
  ): void {
    this.renderer.setRenderTarget(into);
    if (clear) this.renderer.clear();
    this.renderer.render(what, camera);
  }

  background(): Uint8Array {
    return this.read({ x: 0, y: 0, w: this.clip.camera.width, h: this.clip.camera.height }, false);
  }

  /** The picture row of the skate nearest the camera. */
  private lowestRow(pose: Pose): number {
    const under = [pose.left, pose.right].flatMap((l) => [l.toe, l.heel].map((p): V => [p[0], p[1], 0]));
    return Math.max(...under.map((p) => project(this.clip.camera, p).y));
  }

  frame(run: Run, time: number, region: Region): Uint8Array {
    const { camera, one, all, half, dark } = this;
    const look = (dx: number, dy: number) => {
      const { width, height } = this.clip.camera;
      camera.setViewOffset(width, height, region.x + dx, region.y + dy, region.w, region.h);
    };
    if (one.width !== region.w || one.height !== region.h) {
      one.setSize(region.w, region.h);
      all.setSize(region.w, region.h);
      half.setSize(region.w / 2, region.h / 2);
      dark.setSize(region.w / 2, region.h / 2);
    }
    all.scissorTest = false;
    this.renderer.setRenderTarget(all);
    this.renderer.clear();
    // Only the mirrored legs reach lower than this; they are drawn once, not at every opening.
    const tall = Math.min(region.h, Math.ceil(this.lowestRow(run.poseAt(time)) - region.y) + 24);
    for (const target of [one, all]) {
      target.scissorTest = true;
      target.scissor.set(0, region.h - tall, region.w, tall);
    }
    for (let i = 0; i < OPENINGS; i++) {
      const pose = run.poseAt(Math.max(0, time + this.clip.shutter * ((i + 0.5) / OPENINGS - 0.5)));
      this.figure.pose(pose);
      look(...JITTER[i]!);
      this.draw(this.scene, camera, one, true);
      (this.sum.material as THREE.ShaderMaterial).uniforms.one!.value = one.texture;
      this.draw(this.sum, this.flat, all, false);
    }
    const pose = run.poseAt(time);
    const row = this.lowestRow(pose);
    const below = [pose.left, pose.right].map(
      (l) => project(this.clip.camera, [l.toe[0], l.toe[1], -0.25]).y,
    );
    const feet = (this.finish.material as THREE.ShaderMaterial).uniforms.feet!;
    feet.value.set(row, Math.max(...below) - row);
    this.figure.group.scale.z = -1;
    this.mirror.add(this.figure.group);
    look(0, 0);
    this.shade.follow(pose);
    this.draw(this.shade.group, camera, dark, true);
    this.draw(this.mirror, camera, half, true);
    this.figure.group.scale.z = 1;
    this.scene.add(this.figure.group);
    return this.read(region, true);
  }
}

function lamps(): THREE.Light[] {
  const sky = new THREE.HemisphereLight("#f4f7fb", "#b9cbd8", 1.5);
  sky.position.set(0, 0, 1);
  const key = new THREE.DirectionalLight("#fffaf0", 1.7);
  key.position.set(0.35, 0.45, 1);
  const fill = new THREE.DirectionalLight("#e8f1ff", 0.55);
  fill.position.set(0.8, -0.7, 0.6);
  return [sky, key, fill];
}

/** The part of the picture that the skater, the shade and the mirrored legs can touch; null when outside it. */
function regionOf(clip: ClipSpec, run: Run, time: number, size: { w: number; h: number }): Region | null {
  const { camera } = clip;
  const pose = run.poseAt(time);
  const points: V[] = [add(pose.head, [0, 0, 0.22]), pose.midHip];
  for (const limb of [pose.left, pose.right]) {
    points.push(limb.heel, limb.toe, limb.knee, limb.elbow, limb.wrist, limb.shoulder);
    points.push([limb.toe[0], limb.toe[1], -0.7]);
  }
  points.push(
    [pose.midHip[0] + 0.7, pose.midHip[1] + 0.8, 0],
    [pose.midHip[0] - 0.7, pose.midHip[1] - 0.8, 0],
  );
  const seen = points.map((p) => project(camera, p));
  const scale = focalPx(camera) / Math.hypot(...[0, 1, 2].map((k) => pose.midHip[k]! - camera.place[k]!));
  const margin = 0.2 * scale + 4;
  const [left, right] = [
    Math.min(...seen.map((p) => p.x)) - margin,
    Math.max(...seen.map((p) => p.x)) + margin,
  ];
  const [top, bottom] = [
    Math.min(...seen.map((p) => p.y)) - margin,
    Math.max(...seen.map((p) => p.y)) + margin,
  ];
  if (right < 0 || left > camera.width || bottom < 0 || top > camera.height) return null;
  // Targets only ever grow, in steps, so that they are seldom made anew.
  size.w = Math.min(camera.width, Math.max(size.w, Math.ceil((right - left) / 64) * 64));
  size.h = Math.min(camera.height, Math.max(size.h, Math.ceil((bottom - top) / 48) * 48));
  const held = (at: number, length: number, all: number) =>
    Math.max(0, Math.min(all - length, Math.round(at)));
  return {
    x: held((left + right - size.w) / 2, size.w, camera.width),
    y: held((top + bottom - size.h) / 2, size.h, camera.height),
    ...size,
  };
}

/** Draws the frames of a clip (all of them, or those listed) and sends each to `/frame`. */
async function film(name: string, only: readonly number[] | null): Promise<void> {
  const clip = CLIPS.find((c) => c.name === name);
  if (!clip) throw new Error(`no clip is called ${name}`);
  const run = makeRun(clip.run);
  const studio = new Studio(clip);
  const send = async (path: string, body: Uint8Array) => {
    const answer = await fetch(path, { method: "POST", body: body as BodyInit });
    if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
  };
  await send("/background", studio.background());
  // One picture is on its way while the next is drawn.
  let sending = Promise.resolve();
  const size = { w: 0, h: 0 };
  const times = frameTimes(clip, run);
  for (const [i, time] of times.entries()) {
    if (only && !only.includes(i)) continue;
    const region = regionOf(clip, run, time, size);
    const { x, y, w, h } = region ?? { x: 0, y: 0, w: 0, h: 0 };
    const bytes = region ? studio.frame(run, time, region) : new Uint8Array();
    await sending;
    sending = send(`/frame?x=${x}&y=${y}&w=${w}&h=${h}`, bytes);
  }
  await sending;
}

Object.assign(window, { film });
