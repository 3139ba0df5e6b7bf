import { Circle, Group, Label, Line, Rect, Tag, Text } from "react-konva";
import { CANVAS_FONT, colours } from "../frame/colours.ts";
import type { DrawnMark } from "./drawnMark.ts";
import type { LabelPlace } from "./labelPlaces.ts";

interface Props {
  readonly mark: DrawnMark;
  /** Stage px per picture px; shapes keep their size on the screen. */
  readonly scale: number;
  readonly selected: boolean;
  /** Where its name stands; null = not shown. */
  readonly name: LabelPlace | null;
}

/** Left is an open ring, right is filled, a point of the ice is a square with a cross. Shape first, colour second. */
export function MarkShape({ mark, scale, selected, name }: Props) {
  const colour = mark.side === null ? colours.iceMark : colours.mark[mark.side];
  const right = mark.side === "right";
  return (
    <Group x={mark.xPx} y={mark.yPx} scaleX={1 / scale} scaleY={1 / scale} listening={false}>
      {selected && <Circle radius={13} stroke="#fff" strokeWidth={4} opacity={0.9} />}
      {selected && <Circle radius={13} stroke={colours.accent} strokeWidth={2} dash={[4, 3]} />}
      {mark.side === null ? (
        <>
          <Rect x={-6} y={-6} width={12} height={12} stroke="#fff" strokeWidth={4} opacity={0.85} />
          <Rect x={-6} y={-6} width={12} height={12} stroke={colour} strokeWidth={2} />
        </>
      ) : (
        <>
          <Circle radius={6} stroke="#fff" strokeWidth={right ? 2.5 : 5} fill={right ? colour : undefined} />
          {!right && <Circle radius={6} stroke={colours.ringEdge} strokeWidth={3.5} />}
          {!right && <Circle radius={6} stroke={colour} strokeWidth={2.2} />}
        </>
      )}
      {/* The point itself stays visible: one pixel of cross, nothing over it. */}
      <Line points={[-2.5, 0, 2.5, 0]} stroke={right ? "#fff" : colour} strokeWidth={1} />
      <Line points={[0, -2.5, 0, 2.5]} stroke={right ? "#fff" : colour} strokeWidth={1} />
      {name && (
        <Label x={name.dx} y={name.dy}>
          <Tag fill="#fff" opacity={0.9} cornerRadius={4} />
          <Text text={mark.label} fontSize={13} fontFamily={CANVAS_FONT} padding={3} fill="#14212b" />
        </Label>
      )}
    </Group>
  );
}
