import { Button } from "@mantine/core";
import type { ClipIndex } from "../../../../src/study/exchange.ts";
import { turnClip } from "../../../commands/clips/turnClip.ts";
import { attempt } from "../../../store/attempt.ts";
import type { Measuring } from "../core/useMeasure.ts";

const TURNS = [
  { by: 90, words: "Quarter turn right" },
  { by: 180, words: "Upside down" },
] as const;

interface Props {
  readonly m: Measuring;
  readonly index: ClipIndex;
  onTurned(): void;
}

/** For a clip that lies on its side or stands on its head though its file does not say so. */
export function TurnButtons({ m, index, onTurned }: Props) {
  const to = (turn: number) => {
    const asked = { clip: index.clip, turn: (turn % 360) as ClipIndex["turn"] };
    if (attempt(m.session, turnClip, asked)) onTurned();
  };
  return (
    <div className="row turn-clip">
      {TURNS.map(({ by, words }) => (
        <Button
          key={by}
          size="compact-sm"
          variant="default"
          disabled={m.readOnly}
          onClick={() => to(index.turn + by)}
        >
          {words}
        </Button>
      ))}
      {index.turn !== 0 && (
        <Button size="compact-sm" variant="subtle" disabled={m.readOnly} onClick={() => to(0)}>
          As the file says
        </Button>
      )}
    </div>
  );
}
