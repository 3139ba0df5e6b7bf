import { placeJson } from "../../src/ice/placement/placeJson.ts";
import { type Command, type Io, UsageError } from "./Command.ts";
import { pictureOption } from "./measureOptions.ts";
import { numberOption, readArgs } from "./options.ts";

const text = { type: "string" } as const;

export const place: Command = {
  does: "the precision to expect from a camera before filming",
  help: `blademark place --camera X,Y,H --aim X,Y --hfov DEG --picture WxH --zone X0,X1 [more]

What one stride could be measured to (u95, half-width of the 95 % interval) along the measured zone, what would be
refused from there and why, and the best spots for this height and lens. Metres of the ice frame: x along the lane
from the start line, y to the skater's left, z up.

  --camera X,Y,H   where the camera stands and how high
  --aim X,Y        the point of the ice in the middle of the picture
  --hfov DEG       what the lens sees from side to side, degrees
  --picture WxH    pixels of the picture
  --zone X0,X1     first and last metre of the lane to be measured
  --fps N          frames a second (60)
  --lane M         length of the lane, for its run-out (end of the zone)
  --mark-sd PX     standard uncertainty of one mark (1.5)
  --json           one JSON object and nothing else`,
  async run(args, io) {
    const options = {
      camera: text,
      aim: text,
      hfov: text,
      picture: text,
      zone: text,
      fps: text,
      lane: text,
      "mark-sd": text,
      json: { type: "boolean" },
    } as const;
    const { values } = readArgs(joinNegative(args), options, [0, 0]);
    const need = (name: "camera" | "aim" | "hfov" | "picture" | "zone") => {
      const value = values[name];
      if (value === undefined) throw new UsageError(`--${name} is missing.`);
      return value;
    };
    const [x, y, height] = numbers("--camera", need("camera"), 3) as [number, number, number];
    const [aimX, aimY] = numbers("--aim", need("aim"), 2) as [number, number];
    const zone = numbers("--zone", need("zone"), 2) as [number, number];
    if (!(zone[1] > zone[0])) throw new UsageError("--zone needs its first metre before its last: X0,X1.");
    const picture = pictureOption(need("picture"));
    const answer = placeJson({
      plan: {
        x,
        y,
        height,
        aimX,
        aimY,
        hfovDeg: numberOption("--hfov", need("hfov")),
        widthPx: picture.width,
        heightPx: picture.height,
        fps: numberOption("--fps", values.fps ?? "60"),
      },
      zone,
      lane: numberOption("--lane", values.lane ?? String(Math.max(zone[1], 0)), 0, 1000),
      markSdPx: numberOption("--mark-sd", values["mark-sd"] ?? "1.5", 0.01, 100),
    });
    if (values.json) io.out(JSON.stringify(answer));
    else print(answer, io);
    return 0;
  },
};

/** "--camera -10,0,3": parseArgs would take a value with a leading minus for another option. */
function joinNegative(args: readonly string[]): string[] {
  const joined: string[] = [];
  for (let i = 0; i < args.length; i++) {
    const next = args[i + 1];
    const takes = args[i] === "--camera" || args[i] === "--aim" || args[i] === "--zone";
    if (takes && next !== undefined && /^-[\d.]/.test(next)) joined.push(`${args[i++]}=${next}`);
    else joined.push(args[i] as string);
  }
  return joined;
}

function numbers(name: string, typed: string, count: number): readonly number[] {
  const parts = typed.split(",");
  if (parts.length !== count) {
    throw new UsageError(`${name} needs ${count} numbers with commas between them, not "${typed}".`);
  }
  return parts.map((part) => numberOption(name, part));
}

const COLUMNS = [
  ["stride_width_m", "width, cm", 100],
  ["touchdown_to_track_midline_m", "touchdown, cm", 100],
  ["recovery_to_midline_m", "recovery, cm", 100],
  ["stride_length_m", "length, cm", 100],
  ["arm_swing_angle_along_deg", "arms along, °", 1],
  ["arm_swing_angle_across_deg", "arms across, °", 1],
] as const;

function print(answer: ReturnType<typeof placeJson>, io: Io): void {
  io.out(
    "One stride, ± u95 to expect, lengths in centimetres, arm angles in degrees (- = refused from there):",
  );
  io.out(["at, m", ...COLUMNS.map(([, head]) => head)].map((cell) => cell.padStart(14)).join(""));
  const reasons = new Set<string>();
  for (const point of answer.points) {
    const cells = COLUMNS.map(([name, head, scale]) => {
      const expected = point[name];
      if (expected.u95 !== null) return (scale * expected.u95).toFixed(1);
      reasons.add(`${head.split(",")[0]}: ${expected.why}`);
      return "-";
    });
    io.out([point.x_m.toFixed(1), ...cells].map((cell) => cell.padStart(14)).join(""));
  }
  for (const reason of reasons) io.out(`Refused, ${reason}`);
  for (const advice of answer.advice) io.out(advice);
}
