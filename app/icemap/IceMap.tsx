import { Button, useComputedColorScheme } from "@mantine/core";
import { Text as KonvaText } from "konva/lib/shapes/Text.js";
import { useMemo, useRef, useState } from "react";
import { Group, Label, Layer, Line, Rect, Stage, Tag, Text } from "react-konva";
import { strideWidthLine } from "../../src/kinematics/quantities/strideWidthLine.ts";
import type { Stride } from "../../src/kinematics/types.ts";
import type { Lane } from "../../src/study/types.ts";
import { formatCentimetres } from "../../src/uncertainty/format.ts";
import { CANVAS_FONT, colours, type Paper, papers } from "../frame/colours.ts";
import { useSize } from "../frame/useSize.ts";
import { type Box, boxOf, fitBox, lineSpacing, type MapView, toMap } from "./mapView.ts";
import "./icemap.css";

interface Props {
  readonly lane: Lane;
  readonly strides: readonly Stride[];
  readonly current: Stride | null;
  /** Outline of the ice reference, metres. */
  readonly hull: readonly { readonly x: number; readonly y: number }[];
  readonly icePoints: readonly { readonly label: string; readonly x: number; readonly y: number }[];
  /** Words in place of the map while there is nothing to draw. */
  readonly empty: string | null;
  /** Shown under those words: what to do about it. */
  readonly emptyAct: { readonly label: string; act(): void } | null;
  onFrame(frame: number): void;
}

/** The lane from above, to scale, with the blade points, the strides and the ice reference. */
export function IceMap(props: Props) {
  const { lane, strides, current, hull, icePoints, empty } = props;
  const host = useRef<HTMLDivElement>(null);
  const size = useSize(host);
  const scheme = useComputedColorScheme("light");
  const paper = papers[scheme];
  const [whole, setWhole] = useState(false);
  const shown = useMemo(
    () => area(strides, current, hull, lane, whole),
    [strides, current, hull, lane, whole],
  );
  const view = fitBox(shown, size.width, size.height, 30);

  return (
    <section className="card icemap" aria-label="Ice map">
      <div className="icemap-head">
        <h2>Ice map</h2>
        <span className="quiet">from above, to scale</span>
        {strides.length > 0 && (
          <button
            type="button"
            className="plain-button"
            aria-pressed={whole}
            onClick={() => setWhole(!whole)}
          >
            {whole ? "Follow the stride" : "Whole lane"}
          </button>
        )}
      </div>
      <div className="icemap-stage" ref={host}>
        {empty !== null ? (
          <div className="icemap-empty">
            <p className="quiet">{empty}</p>
            {props.emptyAct && (
              <Button mt="sm" variant="light" onClick={props.emptyAct.act}>
                {props.emptyAct.label}
              </Button>
            )}
          </div>
        ) : (
          <Stage width={size.width} height={size.height} listening={false}>
            <Layer listening={false}>
              <Ground view={view} lane={lane} paper={paper} hull={hull} icePoints={icePoints} />
              <Track view={view} strides={strides} current={current} paper={paper} />
              <StrideWidth view={view} strides={strides} current={current} paper={paper} />
            </Layer>
          </Stage>
        )}
        {empty === null && (
          <BladePoints view={view} strides={strides} current={current} onFrame={props.onFrame} />
        )}
      </div>
    </section>
  );
}

/** Around the current stride and its neighbours; the whole lane on request or before any stride. */
function area(
  strides: readonly Stride[],
  current: Stride | null,
  hull: Props["hull"],
  lane: Lane,
  whole: boolean,
): Box {
  const all = boxOf([...hull, ...strides.flatMap((s) => (s.off ? [s.off] : []))]);
  const laneBox = { x0: 0, x1: lane.distance, y0: -1.5, y1: 1.5 };
  const near = current && strides.filter((s) => Math.abs(s.stride - current.stride) <= 1);
  const points = near?.flatMap((s) => [...(s.off ? [s.off] : []), ...(s.on ? [s.on] : [])]) ?? [];
  const around = boxOf(points);
  if (whole || !around) return all ? join(all, laneBox) : laneBox;
  const centre = (around.y0 + around.y1) / 2;
  const half = Math.max(1.5, (around.y1 - around.y0) / 2 + 0.3);
  return { x0: around.x0 - 0.4, x1: around.x1 + 0.4, y0: centre - half, y1: centre + half };
}

function join(a: Box, b: Box): Box {
  return {
    x0: Math.min(a.x0, b.x0),
    x1: Math.max(a.x1, b.x1),
    y0: Math.min(a.y0, b.y0),
    y1: Math.max(a.y1, b.y1),
  };
}

function Ground(props: { view: MapView; lane: Lane; paper: Paper } & Pick<Props, "hull" | "icePoints">) {
  const { view, lane, paper, hull, icePoints } = props;
  const spacing = lineSpacing(view.pxPerM);
  const top = view.cx + view.height / 2 / view.pxPerM;
  const bottom = view.cx - view.height / 2 / view.pxPerM;
  const metres: number[] = [];
  for (let x = Math.ceil(bottom / spacing) * spacing; x <= top; x += spacing) metres.push(x);
  const flat = hull.flatMap((p) => {
    const q = toMap(view, p.x, p.y);
    return [q.x, q.y];
  });
  return (
    <>
      <Rect width={view.width} height={view.height} fill={paper.ground} />
      {metres.map((x) => {
        const { y } = toMap(view, x, 0);
        return (
          <Group key={x}>
            <Line points={[44, y, view.width, y]} stroke={paper.line} strokeWidth={1} />
            <Text
              x={4}
              y={y - 7}
              text={`${x} m`.replace("-", "−")}
              fontSize={13}
              fontFamily={CANVAS_FONT}
              fill={paper.quiet}
            />
          </Group>
        );
      })}
      {flat.length >= 6 && (
        <Line
          points={flat}
          closed
          stroke={paper.accent}
          strokeWidth={1}
          dash={[2, 4]}
          fill={`${colours.accent}14`}
        />
      )}
      {[0, ...lane.gates, lane.distance]
        .filter((x, i, all) => all.indexOf(x) === i)
        .map((x) => {
          const { y } = toMap(view, x, 0);
          const name = x === 0 ? "start line" : x === lane.distance ? "finish line" : "gate";
          return (
            <Group key={`line ${x}`}>
              <Line points={[44, y, view.width, y]} stroke={paper.ink} strokeWidth={1.5} dash={[6, 4]} />
              <Text
                x={view.width - 84}
                y={y - 17}
                width={80}
                align="right"
                text={name}
                fontSize={13}
                fontFamily={CANVAS_FONT}
                fill={paper.ink}
              />
            </Group>
          );
        })}
      {icePoints.map((p) => {
        const q = toMap(view, p.x, p.y);
        return (
          <Rect
            key={p.label}
            x={q.x - 4}
            y={q.y - 4}
            width={8}
            height={8}
            stroke={paper.accent}
            strokeWidth={1.5}
          />
        );
      })}
    </>
  );
}

/** The way of each blade through the air, from where it left the ice to where it landed, and the track's midline. */
function Track(props: { view: MapView; paper: Paper } & Pick<Props, "strides" | "current">) {
  const { view, strides, current, paper } = props;
  const offs = strides.flatMap((s) => (s.off ? [s.off] : []));
  const middles = offs.slice(1).flatMap((p, i) => {
    const q = offs[i] as { x: number; y: number };
    const at = toMap(view, (p.x + q.x) / 2, (p.y + q.y) / 2);
    return [at.x, at.y];
  });
  return (
    <>
      {middles.length >= 4 && <Line points={middles} stroke={paper.accent} strokeWidth={1.5} dash={[2, 5]} />}
      {strides.map((s) => {
        if (!s.off || !s.on) return null;
        const a = toMap(view, s.off.x, s.off.y);
        const b = toMap(view, s.on.x, s.on.y);
        return (
          <Line
            key={s.stride}
            points={[a.x, a.y, b.x, b.y]}
            stroke={paper[s.side]}
            strokeWidth={1.5}
            dash={[5, 4]}
            opacity={s === current ? 1 : 0.5}
          />
        );
      })}
    </>
  );
}

const LABEL = { fontSize: 13, fontFamily: CANVAS_FONT, fontStyle: "bold", padding: 5 };

function textWidth(text: string): number {
  return new KonvaText({ ...LABEL, text }).width();
}

function StrideWidth(props: { view: MapView; paper: Paper } & Pick<Props, "strides" | "current">) {
  const { view, strides, current, paper } = props;
  const width = current?.readings.stride_width_m;
  const line = current && strideWidthLine(strides, current);
  if (!line || !width || width.value === null) return null;
  const [from, foot, before, after] = [line.from, line.foot, line.before, line.after].map((p) =>
    toMap(view, p.x, p.y),
  );
  if (!from || !foot || !before || !after) return null;
  // Beside the outermost point of the three, so that it covers none of them; in two lines where one has no room.
  const outer = Math.max(from.x, foot.x, before.x, after.x) + 16;
  const line1 = formatCentimetres(width);
  const text = outer + textWidth(line1) < view.width ? line1 : line1.replace(" ±", "\n±");
  const w = textWidth(text);
  const left = Math.min(outer, view.width - w);
  return (
    <>
      <Line
        points={[before.x, before.y, after.x, after.y]}
        stroke={paper.ink}
        strokeWidth={1}
        dash={[3, 3]}
      />
      <Line points={[from.x, from.y, foot.x, foot.y]} stroke={paper.accent} strokeWidth={2.5} />
      <Label x={left} y={(from.y + foot.y) / 2 - (text === line1 ? 11 : 18)}>
        <Tag fill={paper.ground} stroke={paper.accent} strokeWidth={1} cornerRadius={11} />
        <Text {...LABEL} text={text} align="center" fill={paper.accent} />
      </Label>
    </>
  );
}

/** Real buttons over the drawing, so that the points can be reached by keyboard and named by a screen reader. */
function BladePoints(props: { view: MapView } & Pick<Props, "strides" | "current" | "onFrame">) {
  const { view, strides, current, onFrame } = props;
  return (
    <>
      {strides.flatMap((s) => {
        const points = [
          { what: "blade-off", at: s.off, frame: s.blade_off_frame },
          { what: "blade-on", at: s.on, frame: s.blade_on_frame },
        ];
        return points.map(({ what, at, frame }) => {
          if (!at || frame === null) return null;
          const q = toMap(view, at.x, at.y);
          if (q.x < 0 || q.y < 0 || q.x > view.width || q.y > view.height) return null;
          return (
            <button
              key={`${s.stride} ${what}`}
              type="button"
              className={`icemap-point ${s.side} ${what}`}
              style={{ left: q.x, top: q.y }}
              data-current={s === current ? "" : undefined}
              title={`${s.side} ${what} of stride ${s.stride}, frame ${frame}`}
              aria-label={`${s.side} ${what} of stride ${s.stride}: go to frame ${frame}`}
              onClick={() => onFrame(frame)}
            />
          );
        });
      })}
    </>
  );
}
