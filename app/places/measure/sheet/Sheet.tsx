import { useEffect, useMemo, useState } from "react";
import type { EventFrame, MarkedPicture } from "../../../../src/study/types.ts";
import { takeSuggested } from "../../../commands/marks/takeSuggested.ts";
import { attempt } from "../../../store/attempt.ts";
import { firstFrame, isDoubtful, lastFrame, timeOf } from "../../../store/clipFrames.ts";
import { DOUBTFUL } from "../core/hereNow.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { depthOf } from "../guide/sequence.ts";
import { goToFrame } from "../guide/steps.ts";
import { AllLooked } from "./AllLooked.tsx";
import type { Found, FoundEvent } from "./found.ts";
import {
  confirmed,
  donePieces,
  isAnswered,
  missWords,
  pointKey,
  pressWords,
  type RowEdits,
} from "./rowPoints.ts";
import { areasOf, type Held, rowKey, viewOf, withheldHere } from "./rowView.ts";
import { SheetAsk } from "./SheetAsk.tsx";
import { SheetRow } from "./SheetRow.tsx";
import { stridesLeft, withHeld } from "./sheetStrides.ts";
import { useBlinds } from "./useBlinds.ts";
import { useSheetKeys } from "./useSheetKeys.ts";

interface Props {
  readonly m: Measuring;
  readonly found: Found;
  /** Something newer is being looked for. */
  readonly isLooking: boolean;
  /** Frames picked that nobody has suggested: their points are to be looked for. */
  onPicked(picked: readonly EventFrame[]): void;
  onClose(): void;
}

/** The stride sheet: what is suggested of one stride, to be confirmed at a glance, and then the next. */
export function Sheet({ m, found, isLooking, onPicked, onClose }: Props) {
  const depth = depthOf(m.whole.study);
  const [left, setLeft] = useState<readonly string[]>([]);
  const [edits, setEdits] = useState<Readonly<Record<string, RowEdits>>>({});
  const [chosen, setChosen] = useState(0);
  const [said, setSaid] = useState<string | null>(null);
  const [held, setHeld] = useState<Held | null>(null);
  const strides = useMemo(
    () => stridesLeft(withHeld(found, held?.row ?? null), m.marks, depth),
    [found, held, m.marks, depth],
  );
  const stride = strides.find((s) => !left.includes(`${s.side} ${s.off}`));
  const row = stride?.rows[0];
  const rows = stride?.rows ?? NO_ROWS;
  const blinds = useBlinds(m, rows);
  const views = rows.map((r, k) => viewOf(m, { found, held }, r, edits[rowKey(r)], blinds[k] ?? null));
  const view = views[0];
  const here = `${m.trial.id} ${row ? rowKey(row) : ""}`;
  // biome-ignore lint/correctness/useExhaustiveDependencies: another row begins with its first piece
  useEffect(() => {
    setChosen(0);
    // Numbers and ribbon beside it are of this stride.
    if (row) goToFrame(m.session, m.index, row.frame);
  }, [here]);

  const change = (next: Partial<RowEdits>) => {
    if (!row || !view) return;
    setSaid(null);
    setEdits((all) => ({ ...all, [rowKey(row)]: { ...view.edits, ...next } }));
  };
  const toFrame = (frame: number) => {
    if (!row || !view || frame < firstFrame(m.index) || frame > lastFrame(m.index)) return;
    change({ frame, put: {}, notSeen: [] });
    setHeld((before) => before ?? { row, found });
    const time = timeOf(m.index, frame);
    if (time !== undefined) onPicked([{ event: row.event, side: row.side, frame, time }]);
  };
  const put: Parameters<typeof SheetRow>[0]["onPut"] = (piece, points) => {
    setChosen(piece);
    const moved = Object.fromEntries(points.map(({ point, at }) => [pointKey(point), at]));
    if (view) change({ put: { ...view.edits.put, ...moved } });
  };
  const take = () => {
    if (!row || !view || !m.picture || !stride) return;
    if (isDoubtful(m.index, view.edits.frame)) return setSaid(DOUBTFUL);
    const open = view.pieces.find((piece) => !isAnswered(piece));
    if (open) {
      setChosen(view.pieces.indexOf(open));
      return setSaid(isLooking && !view.blind ? LOOKING_THERE : pressWords(open));
    }
    // A blind check taken before there is something to hold it against would be none.
    if (view.blind && isLooking && view.pieces.flat().some((p) => !p.suggested && !p.notSeen))
      return setSaid(LOOKING_THERE);
    const { frame } = view.edits;
    const { event, marks, notSeen } = confirmed(row, view.pieces, {
      ...{ frame, time: view.time, model: found.model, blind: view.blind },
    });
    if (
      !attempt(m.session, takeSuggested, {
        trial: m.trial.id,
        events: [event],
        marks,
        notSeen,
        picture: m.picture,
      })
    )
      return;
    onPicked([]);
    setHeld(null);
    setSaid(view.blind ? missWords(marks) : null);
  };
  const piece = view?.pieces[chosen];
  const unseen = () => {
    if (!piece || !view) return;
    const keys = piece.map(pointKey);
    const { notSeen } = view.edits;
    const isSaid = keys.every((k) => notSeen.includes(k));
    change({ notSeen: isSaid ? notSeen.filter((k) => !keys.includes(k)) : [...notSeen, ...keys] });
  };
  const leaveOut = () => {
    if (!stride) return;
    onPicked([]);
    setHeld(null);
    setLeft((all) => [...all, `${stride.side} ${stride.off}`]);
  };
  useSheetKeys({
    take,
    step: (by) => view && toFrame(view.edits.frame + by),
    unseen,
    next: () => view && setChosen((chosen + 1) % Math.max(1, view.pieces.length)),
    nudge: (dx, dy) => {
      if (piece?.every((p) => p.at))
        put(
          chosen,
          piece.map((point) => ({ point, at: { xPx: point.at!.xPx + dx, yPx: point.at!.yPx + dy } })),
        );
    },
    leaveOut,
    close: onClose,
  });
  const picture = m.picture;
  if (!stride || !row || !view || !picture)
    return <AllLooked m={m} isLooking={isLooking} found={found} left={left.length} onClose={onClose} />;
  const why = withheldHere(found, view.edits.frame, view.pieces);
  return (
    <>
      <section className="card sheet" aria-label="Stride sheet">
        {stride.done.map((e) => (
          <DoneRow key={`${e.event} ${e.frame}`} m={m} event={e} picture={picture} />
        ))}
        {stride.rows.map((r, k) => {
          const v = views[k] as NonNullable<typeof view>;
          return (
            <SheetRow
              {...{ ...openRow(v), ...ofClip(m, picture) }}
              key={rowKey(r)}
              row={r}
              isActive={k === 0}
              chosen={k === 0 ? chosen : null}
              areas={areasOf(v.base, r, { marks: m.marks, picture, blind: blinds[k] ?? null }, false)}
              onFrame={toFrame}
              onPut={put}
            />
          );
        })}
      </section>
      <SheetAsk
        row={row}
        frame={view.edits.frame}
        blind={view.blind}
        piece={piece}
        left={strides.length}
        notice={
          (said === LOOKING_THERE && !isLooking ? null : said) ?? (isLooking && why ? LOOKING_AGAIN : why)
        }
        acts={{ take, unseen, leaveOut, close: onClose }}
      />
    </>
  );
}

const openRow = ({ blind, first, edits, pieces }: ReturnType<typeof viewOf>) =>
  ({ isDone: false, isBlind: blind, first, frame: edits.frame, pieces }) as const;

const ofClip = (m: Pick<Measuring, "shell" | "index">, picture: MarkedPicture) => ({
  url: (frame: number) => m.shell.frameUrl(picture.clip, frame),
  lastFrame: lastFrame(m.index),
});

/** A row of this stride that is confirmed: it stays to be looked at, so that nothing jumps. */
function DoneRow({
  m,
  event,
  picture,
}: {
  m: Pick<Measuring, "shell" | "whole" | "marks" | "index">;
  event: EventFrame;
  picture: MarkedPicture;
}) {
  const pieces = donePieces(m.marks, event, depthOf(m.whole.study));
  return (
    <SheetRow
      row={event}
      isDone
      isActive={false}
      isBlind={false}
      first={Math.max(0, event.frame - 2)}
      frame={event.frame}
      pieces={pieces}
      chosen={null}
      areas={areasOf(pieces, event, { marks: m.marks, picture, blind: null }, true)}
      {...ofClip(m, picture)}
      onFrame={nothing}
      onPut={nothing}
    />
  );
}

const nothing = () => undefined;

const NO_ROWS: readonly FoundEvent[] = [];

const LOOKING_THERE = "Its points are being looked for on this frame.";
const LOOKING_AGAIN = "Looking again, with what you took so far …";
