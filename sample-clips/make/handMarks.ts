/** Marks put on a clip by a hand that is 1.2 px unsteady and an eye that now and then picks the frame beside. */
import type { EventFrame, IcePoint, Mark, PointName, TrialMarks } from "../../src/study/types.ts";
import { project } from "./camera.ts";
import type { Filmed, Happening } from "./happenings.ts";
import { marksIdOf } from "./people.ts";
import { seeded } from "./random.ts";
import type { Sign } from "./schedule.ts";
import { pointOf, sideName, towards } from "./truth.ts";
import { rounded } from "./vec.ts";
import { GATES } from "./world.ts";

/** How unsteady the marking hand is, px per coordinate; the studies themselves allow for 1.5. */
const HAND_SD_PX = 1.2;
/** Blades are marked where they are at least this far inside the ice points, metres. */
const INSIDE = 0.15;
/** Share of blade-offs and blade-ons picked a frame early or late. */
const SLIP_SHARE = 0.05;
/** Share of gate frames picked one off. */
const GATE_SLIP_SHARE = 0.15;

/** The events a coach picks and the marks put on them, for every stride that lies within the ice points. */
export function handMarks(filmed: Filmed): TrialMarks {
  const { clip, run, times } = filmed;
  const hand = seeded(`marks on ${clip.name}`);
  const shaky = (x: number) => rounded(x + HAND_SD_PX * hand.normal(), 1);
  const clipTime = (frame: number) => rounded(frame / clip.claimedFps, 6);
  const points: IcePoint[] = clip.marks.map((m) => {
    const seen = project(clip.camera, [m.x, m.y, 0]);
    return { label: m.label, xPx: shaky(seen.x), yPx: shaky(seen.y), x: m.x, y: m.y };
  });

  const poseIn = (frame: number) => run.poseAt(times[frame]!);
  const limbIn = (frame: number, sign: Sign) => (sign > 0 ? poseIn(frame).left : poseIn(frame).right);
  const [low, high] = [Math.min(...clip.marks.map((m) => m.x)), Math.max(...clip.marks.map((m) => m.x))];
  const inside = (frame: number, sign: Sign) => {
    const { heel, toe } = limbIn(frame, sign);
    return Math.min(heel[0], toe[0]) > low + INSIDE && Math.max(heel[0], toe[0]) < high - INSIDE;
  };
  const bothInside = (h: Happening) => inside(h.frame, 1) && inside(h.frame, -1);
  const offs = filmed.happenings.filter((h) => h.event === "blade_off" && bothInside(h));
  const [firstOff, lastOff] = [offs[0]!, offs.at(-1)!];
  const picked = filmed.happenings.filter((h) => {
    if (h.event === "blade_off") return offs.includes(h);
    if (h.event.startsWith("arm")) return h.push >= firstOff.push && h.push <= lastOff.push;
    const own = offs.some((o) => o.push === h.push);
    const landing = filmed.happenings.find((o) => o.event === "blade_on" && o.push === h.push);
    return own && landing !== undefined && bothInside(landing);
  });

  const marks = new Map<string, Mark>();
  const exactly = new Map<Mark, { readonly x: number; readonly y: number }>();
  const put = (frame: number, sign: Sign, ...names: PointName[]) => {
    for (const point of names) {
      const key = `${frame} ${sign} ${point}`;
      if (marks.has(key)) continue;
      const seen = project(clip.camera, pointOf(limbIn(frame, sign), point));
      const side = sideName(sign);
      const mark: Mark = {
        ...{ frame, time: clipTime(frame), point, side },
        xPx: shaky(seen.x),
        yPx: shaky(seen.y),
      };
      exactly.set(mark, seen);
      marks.set(key, mark);
    }
  };
  const again = seeded(`second look at ${clip.name}`);
  const putAgain = (mark: Mark): Mark => ({
    ...mark,
    pass: 2,
    // About where the point is, not about where it was first put.
    xPx: rounded(exactly.get(mark)!.x + HAND_SD_PX * again.normal(), 1),
    yPx: rounded(exactly.get(mark)!.y + HAND_SD_PX * again.normal(), 1),
  });
  const eye = seeded(`eye on ${clip.name}`);
  const events = picked.map((exact): EventFrame => {
    const contact = exact.event === "blade_off" || exact.event === "blade_on";
    const slips = contact && eye.next() < SLIP_SHARE;
    const h = { ...exact, frame: exact.frame + (slips ? (eye.next() < 0.5 ? 1 : -1) : 0) };
    const row = { event: h.event, side: sideName(h.sign), frame: h.frame, time: clipTime(h.frame) };
    if (h.event.startsWith("arm")) {
      put(h.frame, h.sign, "shoulder", "elbow", "wrist");
      const asked = towards(limbIn(h.frame, h.sign), clip.camera.place);
      return {
        ...row,
        elbowTowardCamera: asked.elbow_toward_camera,
        wristTowardCamera: asked.wrist_toward_camera,
      };
    }
    put(h.frame, h.sign, "blade_heel", "blade_toe");
    if (h.event === "blade_off") put(h.frame, -h.sign as Sign, "blade_heel", "blade_toe");
    put(h.frame, 1, "hip");
    put(h.frame, -1, "hip");
    return row;
  });
  const once = [...marks.values()].sort((a, b) => a.frame - b.frame);
  const gatePassings = gateFrames(filmed).map(({ gate, frame }) => ({ gate, frame, time: clipTime(frame) }));
  return {
    format: "blademark.marks",
    version: 1,
    trial: marksIdOf(clip) ?? run.spec.name,
    picture: {
      clip: clip.name,
      width: clip.camera.width,
      height: clip.camera.height,
      frameInterval: 1 / clip.claimedFps,
    },
    iceReference: { kind: "ice-points", points },
    events,
    marks: clip.markedTwice ? [...once, ...once.map(putAgain)] : once,
    ...(gatePassings.length > 0 ? { gatePassings } : {}),
  };
}

/** The first frame in which the front of the skater is at or past each gate, where the gate is in the picture. */
function gateFrames({ clip, run, times }: Filmed): { gate: number; frame: number }[] {
  const eye = seeded(`gates of ${clip.name}`);
  return GATES.flatMap((gate, i) => {
    const exact = times.findIndex((t) => t >= run.gateTimes[i]!);
    const slip = eye.next() < GATE_SLIP_SHARE ? (eye.next() < 0.5 ? 1 : -1) : 0;
    if (exact < 1 || exact + slip >= times.length) return [];
    const seen = project(clip.camera, [gate, 0, 0.9]);
    const inside = seen.x > 0 && seen.x < clip.camera.width && seen.y > 0 && seen.y < clip.camera.height;
    return inside ? [{ gate, frame: exact + slip }] : [];
  });
}

/** JSON with one line for each point, event and mark. */
export function marksText(marks: TrialMarks): string {
  const { events, marks: rows, gatePassings, iceReference, ...head } = marks;
  const lines = (list: readonly unknown[]) =>
    `[\n    ${list.map((x) => JSON.stringify(x)).join(",\n    ")}\n  ]`;
  const top = Object.entries(head).map(([key, v]) => `  ${JSON.stringify(key)}: ${JSON.stringify(v)},\n`);
  const points = iceReference?.kind === "ice-points" ? iceReference.points : [];
  const ice = `{ "kind": "ice-points", "points": ${lines(points)} }`;
  const gates = gatePassings ? `  "gatePassings": ${lines(gatePassings)},\n` : "";
  return `{\n${top.join("")}${gates}  "iceReference": ${ice},\n  "events": ${lines(events)},\n  "marks": ${lines(rows)}\n}\n`;
}
