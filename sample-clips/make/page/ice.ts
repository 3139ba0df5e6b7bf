/** The ice: markings under it, the lane's lines and crosses on it, scratches, and the hall mirrored in its sheen. */
import * as THREE from "three";
import { seeded } from "../random.ts";
import { RINK } from "../rink.ts";
import { GATES, LANE, type LaneMark } from "../world.ts";

const MOST_MARKS = 16;

/** Metres of ice that one tile of the scratch picture covers. */
const TILE = 9;

function scratches(): THREE.CanvasTexture {
  const size = 2048;
  const canvas = document.createElement("canvas");
  canvas.width = size;
  canvas.height = size;
  const g = canvas.getContext("2d")!;
  g.fillStyle = "rgb(128,128,128)";
  g.fillRect(0, 0, size, size);
  const random = seeded("scratches");
  for (let i = 0; i < 2600; i++) {
    const light = random.next() < 0.62;
    g.strokeStyle = `rgba(${light ? "255,255,255" : "40,60,80"},${0.1 + 0.3 * random.next()})`;
    g.lineWidth = 0.7 + 1.6 * random.next() * random.next();
    const radius = 120 + 1500 * random.next();
    // Most cuts run up and down the rink, as skaters do.
    const heading = (random.next() < 0.7 ? 0.35 * random.normal() : Math.PI * random.next()) + Math.PI / 2;
    const [x, y] = [size * random.next(), size * random.next()];
    const sweep = (60 + 420 * random.next()) / radius;
    for (const [dx, dy] of [
      [0, 0],
      [size, 0],
      [-size, 0],
      [0, size],
      [0, -size],
    ] as const) {
      g.beginPath();
      g.arc(
        x + dx - radius * Math.cos(heading),
        y + dy - radius * Math.sin(heading),
        radius,
        heading,
        heading + sweep,
      );
      g.stroke();
    }
  }
  const texture = new THREE.CanvasTexture(canvas);
  texture.wrapS = THREE.RepeatWrapping;
  texture.wrapT = THREE.RepeatWrapping;
  texture.anisotropy = 16;
  return texture;
}

const vertex = /* glsl */ `
  varying vec3 place;
  void main() {
    place = (modelMatrix * vec4(position, 1.0)).xyz;
    gl_Position = projectionMatrix * viewMatrix * vec4(place, 1.0);
  }`;

const fragment = /* glsl */ `
  uniform sampler2D cuts;
  uniform vec2 marks[${MOST_MARKS}];
  uniform int markCount;
  uniform vec2 gates;
  varying vec3 place;

  float hash(vec2 p) { return fract(sin(dot(p, vec2(127.1, 311.7))) * 43758.5453); }
  float noise(vec2 p) {
    vec2 i = floor(p), f = fract(p);
    f = f * f * (3.0 - 2.0 * f);
    return mix(mix(hash(i), hash(i + vec2(1, 0)), f.x), mix(hash(i + vec2(0, 1)), hash(i + vec2(1, 1)), f.x), f.y);
  }
  // Share of a pixel, w wide, that a line from -h to h covers.
  float cover(float d, float h, float w) {
    return clamp((min(d + 0.5 * w, h) - max(d - 0.5 * w, -h)) / w, 0.0, 1.0);
  }
  float line(float d, float h) { return cover(d, h, max(fwidth(d), 1e-4)); }
  float box(vec2 d, vec2 h) { return line(d.x, h.x) * line(d.y, h.y); }
  float ring(vec2 p, float r, float width) { return line(length(p) - r + 0.5 * width, 0.5 * width); }
  float disc(vec2 p, float r) { float d = length(p); return clamp((r - d) / max(fwidth(d), 1e-4) + 0.5, 0.0, 1.0); }

  const vec3 RED = vec3(0.50, 0.03, 0.045);
  const vec3 BLUE = vec3(0.025, 0.095, 0.40);

  vec3 hall(vec3 from, vec3 to) {
    // What a ray from the ice meets: boards, glass and dark stands, or the roof with its rows of lamps.
    float tx = ((to.x > 0.0 ? ${RINK.halfLength.toFixed(1)} : -${RINK.halfLength.toFixed(1)}) - from.x) / to.x;
    float ty = ((to.y > 0.0 ? ${RINK.halfWidth.toFixed(1)} : -${RINK.halfWidth.toFixed(1)}) - from.y) / to.y;
    float t = min(abs(tx), abs(ty));
    float h = to.z * t;
    vec3 stands = mix(vec3(0.035, 0.05, 0.075), vec3(0.06, 0.075, 0.10), smoothstep(3.0, 8.0, h));
    vec3 wall = h < ${RINK.kickPlate} ? vec3(0.55, 0.42, 0.06) : h < 1.0 ? vec3(0.62, 0.66, 0.70)
      : h < ${RINK.boardHeight} ? vec3(0.06, 0.13, 0.33) : h < 2.9 ? vec3(0.10, 0.13, 0.17) : stands;
    float roof = 9.0;
    if (h < roof) return wall;
    vec2 at = from.xy + to.xy * (roof / to.z);
    vec2 lamp = abs(vec2(mod(at.x, 6.0) - 3.0, mod(at.y + 3.0, 6.0) - 3.0));
    return lamp.x < 1.1 && lamp.y < 0.35 ? vec3(9.0) : vec3(0.045, 0.055, 0.07);
  }

  void main() {
    vec2 p = vec2(place.x + ${LANE.startRinkX.toFixed(1)}, place.y);
    vec2 q = abs(p);
    // Long streaks from the resurfacer, blotches, skate cuts.
    float streak = noise(vec2(p.x * 0.05, p.y * 0.55)) * 0.6 + noise(vec2(p.x * 0.11, p.y * 1.9)) * 0.4;
    float blotch = noise(p * 0.32) * 0.6 + noise(p * 1.3) * 0.4;
    float cut = texture2D(cuts, p / ${TILE.toFixed(1)}).r - 0.5;
    float cut2 = texture2D(cuts, p.yx / 15.7 + 0.37).r - 0.5;
    vec3 ice = vec3(0.76, 0.835, 0.885) * (0.93 + 0.09 * streak + 0.06 * blotch);

    float red = 0.0, blue = 0.0;
    blue = max(blue, line(q.x - ${RINK.blueLineX}, ${RINK.wideLine / 2}));
    red = max(red, line(p.x, ${RINK.wideLine / 2}) * (1.0 - 0.0));
    red = max(red, line(q.x - ${RINK.goalLineX.toFixed(2)}, ${RINK.goalLineWidth / 2}));
    blue = max(blue, ring(p, ${RINK.circleRadius}, ${RINK.circleLine}));
    blue = max(blue, disc(p, ${RINK.centreSpotRadius}));
    vec2 e = q - vec2(${RINK.endSpot.x.toFixed(1)}, ${RINK.endSpot.y.toFixed(1)});
    red = max(red, ring(e, ${RINK.circleRadius}, ${RINK.circleLine}));
    red = max(red, disc(e, ${RINK.spotRadius}));
    red = max(red, disc(q - vec2(${RINK.neutralSpot.x}, ${RINK.neutralSpot.y.toFixed(1)}), ${RINK.spotRadius}));
    vec2 a = abs(e);
    red = max(red, box(vec2(a.x - ${RINK.hashGap / 2 + RINK.hashLine / 2}, a.y - ${
      RINK.circleRadius + RINK.hashLength / 2
    }), vec2(${RINK.hashLine / 2}, ${RINK.hashLength / 2})));
    float ell = max(
      box(vec2(a.x - ${RINK.ell.start + RINK.ell.along / 2}, a.y - ${RINK.ell.gap / 2 + RINK.ell.line / 2}),
        vec2(${RINK.ell.along / 2}, ${RINK.ell.line / 2})),
      box(vec2(a.x - ${RINK.ell.start + RINK.ell.line / 2}, a.y - ${RINK.ell.gap / 2 + RINK.ell.across / 2}),
        vec2(${RINK.ell.line / 2}, ${RINK.ell.across / 2})));
    red = max(red, ell);
    vec2 g = vec2(${RINK.goalLineX.toFixed(2)} - q.x, p.y);
    float crease = g.x > 0.0 ? ring(g, ${RINK.creaseRadius}, 0.05) : 0.0;
    float inCrease = g.x > 0.0 ? disc(g, ${RINK.creaseRadius}) : 0.0;
    ice = mix(ice, vec3(0.36, 0.60, 0.82), 0.55 * inCrease);
    red = max(red, crease);
    float paint = 0.80 + 0.12 * blotch;
    ice = mix(ice, RED, red * paint);
    ice = mix(ice, BLUE, blue * paint);

    // The day's own things lie on the ice: start and finish tape, crosses.
    float tape = max(line(place.x - gates.x, 0.025), line(place.x - gates.y, 0.025)) * line(place.y, 1.7);
    ice = mix(ice, vec3(0.80, 0.20, 0.02), tape);
    for (int i = 0; i < ${MOST_MARKS}; i++) {
      if (i >= markCount) break;
      vec2 m = place.xy - marks[i];
      float x = max(box(m, vec2(0.20, 0.028)), box(m, vec2(0.05, 0.16)));
      ice = mix(ice, vec3(0.012, 0.016, 0.03), x);
    }
    ice += vec3(0.16) * cut + vec3(0.09) * cut2;

    vec3 view = normalize(place - cameraPosition);
    float facing = clamp(-view.z, 0.0, 1.0);
    float fresnel = 0.035 + 0.50 * pow(1.0 - facing, 4.0);
    vec3 mirrored = vec3(0.0);
    for (int i = 0; i < 20; i++) {
      float r1 = hash(gl_FragCoord.xy + float(i) * 17.3);
      float r2 = hash(gl_FragCoord.yx + float(i) * 31.7 + 5.0);
      vec2 tilt = (vec2(r1, r2) - 0.5) * 0.055 + cut * 0.03;
      vec3 n = normalize(vec3(tilt, 1.0));
      vec3 ray = reflect(view, n);
      ray.z = max(ray.z, 1e-3);
      mirrored += min(hall(vec3(p, 0.0), ray), vec3(4.0));
    }
    vec3 seen = mix(ice * 0.93, mirrored / 20.0, fresnel);
    gl_FragColor = vec4(seen, 1.0);
  }`;

/** The outline of the ice in lane coordinates. */
export function iceOutline(steps: number, outset = 0): [number, number][] {
  const [hx, hy, r] = [RINK.halfLength + outset, RINK.halfWidth + outset, RINK.cornerRadius + outset];
  const corners = [
    [hx - r, hy - r],
    [r - hx, hy - r],
    [r - hx, r - hy],
    [hx - r, r - hy],
  ] as const;
  return corners.flatMap(([cx, cy], corner) =>
    Array.from({ length: steps + 1 }, (_, i): [number, number] => {
      const angle = ((corner + i / steps) * Math.PI) / 2;
      return [cx + r * Math.cos(angle) - LANE.startRinkX, cy + r * Math.sin(angle)];
    }),
  );
}

export function makeIce(marks: readonly LaneMark[]): THREE.Mesh {
  const outline = new THREE.Shape(iceOutline(24).map(([x, y]) => new THREE.Vector2(x, y)));
  const places = Array.from(
    { length: MOST_MARKS },
    (_, i) => new THREE.Vector2(marks[i]?.x ?? 0, marks[i]?.y ?? 0),
  );
  const material = new THREE.ShaderMaterial({
    vertexShader: vertex,
    fragmentShader: fragment,
    uniforms: {
      cuts: { value: scratches() },
      marks: { value: places },
      markCount: { value: marks.length },
      gates: { value: new THREE.Vector2(GATES[0], GATES[1]) },
    },
  });
  return new THREE.Mesh(new THREE.ShapeGeometry(outline), material);
}
