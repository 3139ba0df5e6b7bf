import { Group, Line } from "react-konva";
import type { PicturePoint } from "../../src/ice/types.ts";
import { colours } from "../frame/colours.ts";

const ARMS = [
  [-26, 0, -5, 0],
  [5, 0, 26, 0],
  [0, -26, 0, -5],
  [0, 5, 0, 26],
];

/** The keyboard's cursor: a cross with a free middle, so that nothing lies over the point itself. */
export function CursorShape({ at, scale }: { at: PicturePoint; scale: number }) {
  return (
    <Group x={at.xPx} y={at.yPx} scaleX={1 / scale} scaleY={1 / scale} listening={false}>
      {ARMS.map((points) => (
        <Line key={points.join()} points={points} stroke="#fff" strokeWidth={5} opacity={0.9} />
      ))}
      {ARMS.map((points) => (
        <Line key={points.join()} points={points} stroke={colours.accent} strokeWidth={2} />
      ))}
    </Group>
  );
}
