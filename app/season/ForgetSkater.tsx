import { Button, Modal } from "@mantine/core";
import type { Shell } from "../shell/Shell.ts";
import { AskedWords } from "./AskedWords.tsx";
import { useAsked } from "./useAsked.ts";

interface Props {
  readonly shell: Shell;
  readonly folders: readonly string[];
  readonly code: string;
  /** The study that is open here: nobody can be forgotten in it. */
  readonly here: string;
}

/** A skater taken out of the library and of the evenings chosen; what it touches is listed before anything is done. */
export function ForgetSkater({ shell, folders, code, here }: Props) {
  const would = useAsked(shell);
  const doing = useAsked(shell);
  const open = would.asked.is !== "nothing";
  const lines = (of: typeof would) =>
    of.asked.is === "answered" && of.asked.answer.kind === "forgotten" ? of.asked.answer.lines : null;
  const [before, after] = [lines(would), lines(doing)];
  const others = folders.filter((folder) => folder !== here);
  const ask = (really: boolean) => ({ do: "forget", folders: others, code, really }) as const;
  const close = () => {
    would.stop();
    doing.stop();
  };
  return (
    <>
      <Button
        variant="subtle"
        color="red"
        size="compact-sm"
        disabled={code === ""}
        onClick={() => void would.ask(ask(false))}
      >
        Forget this skater …
      </Button>
      <Modal opened={open} onClose={close} size="lg" title={`Forget ${code}`}>
        {before && !after && (
          <p>
            In the library and in the evenings chosen. It cannot be undone, and what was compared is compared
            without this skater from then on.
          </p>
        )}
        {after && <p>This was done:</p>}
        <ul className="problem-list">
          {(after ?? before ?? []).map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
        {others.length < folders.length && (
          <p className="care">
            The study that is open here is not among them: open another one, and forget there too.
          </p>
        )}
        <AskedWords asked={would.asked} onStop={close} />
        <AskedWords asked={doing.asked} onStop={close} />
        <div className="season-line">
          {before && !after && (
            <Button
              color="red"
              disabled={doing.asked.is === "asking"}
              onClick={() => void doing.ask(ask(true))}
            >
              Forget them for good
            </Button>
          )}
          <Button variant="default" onClick={close}>
            {after ? "Close" : "Leave it"}
          </Button>
        </div>
      </Modal>
    </>
  );
}
