import { Circle, Group, Label, Line, Tag, Text } from "react-konva";
import type { StraightLine } from "../../../../src/study/types.ts";
import { CANVAS_FONT, colours } from "../../../frame/colours.ts";

/** Lines pressed along what is straight in life, those of other frames fainter: they hold of the lens all the same. */
export function PressedLines({
  lines,
  frame,
  px,
}: {
  lines: readonly StraightLine[];
  frame: number;
  /** Stage px per picture px. */
  px: number;
}) {
  return (
    <Group listening={false}>
      {lines.map(({ points, frame: own }, k) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: a line is known by its number.
        <Group key={k} opacity={(own ?? frame) === frame ? 1 : 0.35}>
          <Line
            points={inOrder(points).flatMap((p) => [p.xPx, p.yPx])}
            stroke={colours.iceMark}
            strokeWidth={1.5}
            dash={[8, 4]}
            strokeScaleEnabled={false}
          />
          {points.map((p) => (
            <Circle
              key={`${p.xPx} ${p.yPx}`}
              x={p.xPx}
              y={p.yPx}
              radius={4 / px}
              stroke={colours.iceMark}
              strokeWidth={2}
              strokeScaleEnabled={false}
            />
          ))}
          <Label
            x={points[0]!.xPx}
            y={points[0]!.yPx}
            offsetX={-8}
            offsetY={22}
            scaleX={1 / px}
            scaleY={1 / px}
          >
            <Tag fill="#fff" opacity={0.8} cornerRadius={3} />
            <Text text={`line ${k + 1}`} fontSize={13} fontFamily={CANVAS_FONT} padding={2} fill="#14212b" />
          </Label>
        </Group>
      ))}
    </Group>
  );
}

/** Along the longer way of the line, whatever the order in which its points were pressed. */
function inOrder(points: StraightLine["points"]): StraightLine["points"] {
  const span = (of: (p: (typeof points)[number]) => number) => {
    const values = points.map(of);
    return Math.max(...values) - Math.min(...values);
  };
  const across = span((p) => p.xPx) >= span((p) => p.yPx);
  return points.slice().sort((a, b) => (across ? a.xPx - b.xPx : a.yPx - b.yPx));
}
