import { Line } from "react-konva";
import { colours } from "../frame/colours.ts";
import { type DrawnMark, type Placing, piecesOf } from "./drawnMark.ts";
import type { labelPlaces } from "./labelPlaces.ts";
import { MarkShape } from "./MarkShape.tsx";
import type { Draft } from "./useGestures.ts";

interface Props {
  readonly marks: readonly DrawnMark[];
  /** Stage px per picture px. */
  readonly scale: number;
  readonly selected: string | null;
  readonly namesShown: boolean;
  /** The marks' names with their places, in the marks' order. */
  readonly names: ReturnType<typeof labelPlaces>;
  readonly draft: Draft;
  readonly placing: Placing | null;
}

/** The frame's marks, and the one that is being put. */
export function DrawnMarks({ marks, scale, selected, namesShown, names, draft, placing }: Props) {
  const isMoved = (id: string) => draft?.some((d) => d.id === id) ?? false;
  const isPut = draft?.[0].id === null;
  const sides = placing ? [placing.side, placing.dragsTo ?? placing.side] : [];
  // Only while a piece is in hand: at rest the line would lie over the steel one looks at.
  const lines = [
    ...piecesOf(marks).filter(([a, b]) => isMoved(a.id) || isMoved(b.id)),
    ...(isPut && draft[1] ? [[draft[0].at, draft[1].at] as const] : []),
  ];
  return (
    <>
      {lines.map(([a, b]) => (
        <Line
          key={`${a.xPx} ${a.yPx}`}
          points={[a.xPx, a.yPx, b.xPx, b.yPx]}
          stroke={colours.accent}
          strokeWidth={1 / scale}
          dash={[5 / scale, 4 / scale]}
        />
      ))}
      {marks.map((mark, i) => (
        <MarkShape
          key={mark.id}
          mark={mark}
          scale={scale}
          selected={mark.id === selected}
          name={namesShown || mark.id === selected || isMoved(mark.id) ? names[i]! : null}
        />
      ))}
      {isPut &&
        placing &&
        draft.map(({ at }, i) => (
          <MarkShape
            // biome-ignore lint/suspicious/noArrayIndexKey: first end, second end
            key={i}
            mark={{ id: "", ...at, side: sides[i] ?? null, label: placing.label }}
            scale={scale}
            selected
            name={null}
          />
        ))}
    </>
  );
}
