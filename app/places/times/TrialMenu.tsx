import { ActionIcon, Button, Menu, Modal, NativeSelect } from "@mantine/core";
import { useCallback, useRef, useState } from "react";
import { useStore } from "zustand";
import { trialLabel } from "../../../src/study/labels.ts";
import type { Trial } from "../../../src/study/types.ts";
import { linkClip } from "../../commands/clips/linkClip.ts";
import { moveClip } from "../../commands/clips/moveClip.ts";
import { addTrial } from "../../commands/trials/addTrial.ts";
import { removeTrial } from "../../commands/trials/removeTrial.ts";
import { setValid } from "../../commands/trials/setValid.ts";
import type { Shell } from "../../shell/Shell.ts";
import { attempt } from "../../store/attempt.ts";
import type { Session } from "../../store/session.ts";
import { addClipTo } from "../../store/uploads.ts";

interface TrialMenuProps {
  readonly session: Session;
  readonly shell: Shell;
  readonly trial: Trial;
  /** All trials in run order. */
  readonly rows: readonly Trial[];
  readonly label: string;
}

/** What is done to a trial seldom. */
export function TrialMenu({ session, shell, trial, rows, label }: TrialMenuProps) {
  const further = useRef<HTMLInputElement>(null);
  const [moving, setMoving] = useState(false);
  // A menu costs more than the rest of its row: it is made when it is first asked for.
  const [asked, setAsked] = useState(false);
  // The button it takes the place of had the focus, and gets it back from the menu.
  const takeFocus = useCallback((button: HTMLButtonElement | null) => button?.focus(), []);
  if (!asked) {
    return (
      <button
        type="button"
        className="trial-more"
        aria-haspopup="menu"
        aria-expanded={false}
        aria-label={`More about ${label}`}
        onClick={() => setAsked(true)}
      >
        ⋯
      </button>
    );
  }
  return (
    <>
      <Menu position="bottom-end" withinPortal defaultOpened>
        <Menu.Target>
          <ActionIcon ref={takeFocus} variant="subtle" color="gray" aria-label={`More about ${label}`}>
            ⋯
          </ActionIcon>
        </Menu.Target>
        <Menu.Dropdown>
          <Menu.Item onClick={() => attempt(session, setValid, { trial: trial.id, valid: !trial.valid })}>
            {trial.valid ? "Make void (kept, not used)" : "Use again"}
          </Menu.Item>
          <Menu.Item
            onClick={() => attempt(session, addTrial, { skater: trial.skater, technique: trial.technique })}
          >
            Add one more trial like this
          </Menu.Item>
          {trial.clip !== undefined && (
            <>
              <Menu.Divider />
              <Menu.Item onClick={() => further.current?.click()}>
                Add another camera’s clip, or the clock’s …
              </Menu.Item>
              <Menu.Item onClick={() => setMoving(true)}>Move the clip to another trial …</Menu.Item>
              <Menu.Item onClick={() => attempt(session, linkClip, { trial: trial.id, clip: null })}>
                Take the clip off
              </Menu.Item>
            </>
          )}
          <Menu.Divider />
          <Menu.Item onClick={() => attempt(session, removeTrial, { trial: trial.id })}>
            Remove the trial
          </Menu.Item>
        </Menu.Dropdown>
      </Menu>
      <input
        ref={further}
        type="file"
        accept="video/*,.mp4,.mov,.avi,.mkv,.mts,.m2ts,.webm"
        hidden
        aria-label={`Further clip of ${label}`}
        onChange={(e) => {
          const [file] = e.currentTarget.files ?? [];
          if (file) addClipTo(session, shell, file, trial.id, "further");
          e.currentTarget.value = "";
        }}
      />
      {moving && <MoveClip session={session} trial={trial} rows={rows} onClose={() => setMoving(false)} />}
    </>
  );
}

function MoveClip({
  session,
  trial,
  rows,
  onClose,
}: Omit<TrialMenuProps, "label" | "shell"> & { readonly onClose: () => void }) {
  const study = useStore(session, (s) => s.whole.study);
  const others = rows.filter((t) => t.id !== trial.id);
  const [to, setTo] = useState(others.find((t) => t.clip === undefined)?.id ?? others[0]?.id ?? "");
  const name = study.clips.find((c) => c.id === trial.clip)?.name ?? trial.clip ?? "";
  const taken = study.clips.find((c) => c.id === others.find((t) => t.id === to)?.clip);
  return (
    <Modal opened onClose={onClose} title={`Move ${name}`}>
      <NativeSelect
        label="Trial that the clip really shows"
        value={to}
        data={others.map((t) => ({
          value: t.id,
          label: `${t.order}. ${trialLabel(study, t.id)}${t.clip === undefined ? "" : " (has a clip)"}`,
        }))}
        onChange={(e) => setTo(e.currentTarget.value)}
      />
      <p className="quiet modal-words">
        Its marks, its scale and its speed factor go with it.
        {taken && ` That trial has ${taken.name}; the two clips change places.`}
      </p>
      <div className="modal-actions">
        <Button variant="default" onClick={onClose}>
          Cancel
        </Button>
        <Button
          onClick={() => {
            if (attempt(session, moveClip, { from: trial.id, to, name })) onClose();
          }}
        >
          Move
        </Button>
      </div>
    </Modal>
  );
}
