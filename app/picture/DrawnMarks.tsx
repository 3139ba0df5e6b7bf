import type { Side } from "../../src/study/types.ts";
import type { DrawnMark } from "./drawnMark.ts";
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
  readonly placing: { readonly side: Side | null; readonly label: string } | null;
}

/** The frame's marks, and the one that is being put. */
export function DrawnMarks({ marks, scale, selected, namesShown, names, draft, placing }: Props) {
  return (
    <>
      {marks.map((mark, i) => (
        <MarkShape
          key={mark.id}
          mark={mark}
          scale={scale}
          selected={mark.id === selected}
          name={namesShown || mark.id === selected || mark.id === draft?.id ? names[i]! : null}
        />
      ))}
      {draft?.id === null && placing && (
        <MarkShape mark={{ id: "", ...draft.at, ...placing }} scale={scale} selected name={null} />
      )}
    </>
  );
}
