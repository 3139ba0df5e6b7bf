import { Arrow, Group, Label, Line, Rect, Tag, Text } from "react-konva";
import { gateLine } from "../../../../src/ice/camera/gateLine.ts";
import { iceGrid } from "../../../../src/ice/camera/iceGrid.ts";
import type { Scale } from "../../../../src/ice/types.ts";
import { lengthText } from "../../../../src/study/length.ts";
import type { IcePoint } from "../../../../src/study/types.ts";
import { CANVAS_FONT, colours } from "../../../frame/colours.ts";
import { labelPlaces } from "../../../picture/labelPlaces.ts";
import type { IceCandidate } from "../core/tool.ts";

/** How much longer than life the arrows of the fit are drawn; said beside them. */
export const ARROW_TIMES = 10;

interface GridProps {
  readonly scale: Scale;
  readonly frame: number;
  readonly px: number;
}

/** The metre grid on the ice, in perspective. Picture coordinates; `px` is stage px per picture px. */
export function IceGrid({ scale, frame, px }: GridProps) {
  return (
    <Group listening={false}>
      {iceGrid(scale, frame).map((line) => (
        <Group key={line.points.slice(0, 4).join()}>
          <Line
            points={[...line.points]}
            stroke={colours.accent}
            opacity={line.strong ? 0.75 : 0.32}
            strokeWidth={line.strong ? 1.6 : 1}
            strokeScaleEnabled={false}
          />
          {line.label && <PlaceLabel at={line.label} text={line.label.text} offsetX={14} px={px} />}
        </Group>
      ))}
    </Group>
  );
}

interface PlaceLabelProps {
  readonly at: { readonly xPx: number; readonly yPx: number };
  readonly text: string;
  /** How far left of the place it begins, screen px. */
  readonly offsetX: number;
  readonly px: number;
}

/** Words beside a place of the picture, always the same size. */
function PlaceLabel({ at, text, offsetX, px }: PlaceLabelProps) {
  return (
    <Label x={at.xPx} y={at.yPx} offsetX={offsetX} offsetY={9} scaleX={1 / px} scaleY={1 / px}>
      <Tag fill="#fff" opacity={0.8} cornerRadius={3} />
      <Text text={text} fontSize={13} fontFamily={CANVAS_FONT} padding={2} fill="#14212b" />
    </Label>
  );
}

/** The line between the posts of each gate, and the plane over it that a beam is in. */
export function GateLines({
  scale,
  gates,
  unit,
  frame,
  px,
}: GridProps & { gates: readonly number[]; unit: "m" | "ft" }) {
  return (
    <Group listening={false}>
      {gates.map((gate) => {
        const line = gateLine(scale, gate, frame);
        if (!line) return null;
        const { ice, above, label } = line;
        return (
          <Group key={gate}>
            <Line points={[...ice]} stroke="#fff" strokeWidth={4} opacity={0.6} strokeScaleEnabled={false} />
            <Line points={[...ice]} stroke={colours.residual} strokeWidth={2} strokeScaleEnabled={false} />
            {above && (
              <Line
                points={[...above]}
                stroke={colours.residual}
                strokeWidth={1.5}
                dash={[6, 5]}
                strokeScaleEnabled={false}
              />
            )}
            <PlaceLabel at={label} text={`gate ${lengthText(gate, unit)}`} offsetX={-6} px={px} />
          </Group>
        );
      })}
    </Group>
  );
}

/** How far each ice point lies from where the fit says it is, drawn longer than life. */
export function FitArrows({
  scale,
  points,
  frame,
  px,
}: {
  scale: Scale;
  points: readonly IcePoint[];
  frame: number;
  px: number;
}) {
  return (
    <Group listening={false}>
      {scale.residuals.map((r) => {
        if ((r.frame ?? frame) !== frame) return null;
        const p = points.find((q) => q.label === r.label);
        if (!p) return null;
        return (
          <Arrow
            key={r.label}
            points={[p.xPx, p.yPx, p.xPx - r.dxPx * ARROW_TIMES, p.yPx - r.dyPx * ARROW_TIMES]}
            stroke={colours.residual}
            fill={colours.residual}
            strokeWidth={2}
            strokeScaleEnabled={false}
            pointerLength={7 / px}
            pointerWidth={6 / px}
          />
        );
      })}
    </Group>
  );
}

/** Where the fit expects ice points that are not marked yet; their names make way for those of the marked ones. */
export function ExpectedPoints({
  scale,
  candidates,
  marked,
  picture,
  frame,
  px,
}: {
  scale: Scale;
  candidates: readonly IceCandidate[];
  marked: readonly IcePoint[];
  picture: { readonly width: number; readonly height: number };
  frame: number;
  px: number;
}) {
  const expected = candidates.flatMap(({ x, y, label }) => {
    const p = scale.toPicture(x, y, 0, frame);
    if (!p || p.xPx < 0 || p.yPx < 0 || p.xPx > picture.width || p.yPx > picture.height) return [];
    return [{ ...p, label }];
  });
  const places = labelPlaces(
    [...marked, ...expected].map(({ xPx, yPx, label }) => ({ x: xPx * px, y: yPx * px, label })),
  ).slice(marked.length);
  return (
    <Group listening={false}>
      {expected.map((p, i) => {
        const { dx, dy } = places[i]!;
        return (
          <Group key={p.label} x={p.xPx} y={p.yPx} scaleX={1 / px} scaleY={1 / px}>
            <Rect x={-7} y={-7} width={14} height={14} stroke="#fff" strokeWidth={3} opacity={0.8} />
            <Rect
              x={-7}
              y={-7}
              width={14}
              height={14}
              stroke={colours.iceMark}
              strokeWidth={1.5}
              dash={[3, 3]}
            />
            <Label x={dx} y={dy}>
              <Tag fill="#fff" opacity={0.75} cornerRadius={3} />
              <Text text={p.label} fontSize={13} fontFamily={CANVAS_FONT} padding={2} fill="#14212b" />
            </Label>
          </Group>
        );
      })}
    </Group>
  );
}

/** Known lengths, end to end. */
export function KnownLengths({
  lengths,
  px,
}: {
  lengths: readonly { x1Px: number; y1Px: number; x2Px: number; y2Px: number; length: number }[];
  px: number;
}) {
  return (
    <Group listening={false}>
      {lengths.map((l) => (
        <Group key={`${l.x1Px} ${l.y1Px} ${l.x2Px} ${l.y2Px}`}>
          <Line
            points={[l.x1Px, l.y1Px, l.x2Px, l.y2Px]}
            stroke={colours.iceMark}
            strokeWidth={2}
            strokeScaleEnabled={false}
          />
          <Label x={(l.x1Px + l.x2Px) / 2} y={(l.y1Px + l.y2Px) / 2} scaleX={1 / px} scaleY={1 / px}>
            <Tag fill="#fff" opacity={0.85} cornerRadius={3} />
            <Text
              text={`${Number(l.length.toFixed(3))} m`}
              fontSize={13}
              fontFamily={CANVAS_FONT}
              padding={3}
              fill="#14212b"
            />
          </Label>
        </Group>
      ))}
    </Group>
  );
}
