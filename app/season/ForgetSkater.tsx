import { Button, Modal } from "@mantine/core";
import { useState } from "react";
import { useStore } from "zustand";
import type { Shell } from "../shell/Shell.ts";
import type { Autosave } from "../store/autosave.ts";
import type { Session } from "../store/session.ts";
import { AskedWords } from "./AskedWords.tsx";
import { useAsked } from "./useAsked.ts";

interface Props {
  readonly session: Session;
  readonly shell: Shell;
  readonly autosave: Autosave;
  readonly folders: readonly string[];
  readonly code: string;
}

/** A skater taken out of the library and of the evenings chosen; what it touches is listed before anything is done. */
export function ForgetSkater({ session, shell, autosave, folders, code }: Props) {
  const here = useStore(session, (s) => s.folder);
  const readOnly = useStore(session, (s) => s.readOnly);
  const would = useAsked(shell);
  const doing = useAsked(shell);
  const [unsaved, setUnsaved] = useState(false);
  const open = would.asked.is !== "nothing";
  const lines = (of: typeof would) =>
    of.asked.is === "answered" && of.asked.answer.kind === "forgotten" ? of.asked.answer.lines : null;
  const [before, after] = [lines(would), lines(doing)];
  // Who only looks on may change nothing here.
  const reached = readOnly ? folders.filter((folder) => folder !== here) : folders;
  const isHere = reached.includes(here);
  const ask = async (of: typeof would, really: boolean) => {
    await autosave.flush();
    setUnsaved(isHere && autosave.unsaved());
    if (!(isHere && autosave.unsaved())) await of.ask({ do: "forget", folders: reached, code, really });
  };
  const close = () => {
    // What this window holds of the study is from before.
    if (after && isHere) window.location.reload();
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
        onClick={() => void ask(would, false)}
      >
        Forget this skater …
      </Button>
      {unsaved && (
        <p className="care" role="alert">
          Something of this study is not saved yet, so nobody is forgotten in it. Its message at the top says
          why.
        </p>
      )}
      <Modal opened={open} onClose={close} size="lg" title={`Forget ${code}`}>
        {before && !after && (
          <p>
            In the library and in the evenings chosen
            {isHere ? ", the study that is open here among them: it is opened anew after it" : ""}. It cannot
            be undone, and what was compared is compared without this skater from then on.
          </p>
        )}
        {after && <p>This was done:</p>}
        <ul className="problem-list">
          {(after ?? before ?? []).map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
        {reached.length < folders.length && (
          <p className="care">
            The study that is open here is not among them, because it is open for reading only. Take it over,
            and forget there too.
          </p>
        )}
        <AskedWords asked={would.asked} onStop={close} />
        <AskedWords asked={doing.asked} onStop={close} />
        <div className="season-line">
          {before && !after && (
            <Button color="red" disabled={doing.asked.is === "asking"} onClick={() => void ask(doing, true)}>
              Forget them for good
            </Button>
          )}
          <Button variant="default" onClick={close}>
            {after ? (isHere ? "Open the study anew" : "Close") : "Leave it"}
          </Button>
        </div>
      </Modal>
    </>
  );
}
