import { Button, FileButton, Group, Modal } from "@mantine/core";
import { useState } from "react";
import type { ClipIndex } from "../../../src/study/exchange.ts";
import type { ClipLink } from "../../../src/study/types.ts";
import { relinkClip } from "../../commands/clips/relinkClip.ts";
import { type Shell, ShellError } from "../../shell/Shell.ts";
import { attempt } from "../../store/attempt.ts";
import type { ClipWatch } from "../../store/clips.ts";
import { say } from "../../store/messages.ts";
import type { Session } from "../../store/session.ts";
import "./clipLinkCare.css";

interface Props {
  readonly session: Session;
  readonly shell: Shell;
  readonly clips: ClipWatch;
  readonly index: ClipIndex;
}

/** When the clip's file is not where or what it was: says so, and lets a person find it or confirm the other one. */
export function ClipLinkCare({ session, shell, clips, index }: Props) {
  const { link, clip } = index;
  const [share, setShare] = useState<number | null>(null);
  const [asking, setAsking] = useState(false);
  if (link.state === "as-it-was") return null;
  const { readOnly } = session.getState();

  /** Does it, then looks how things stand; what the host refuses is said in its words. */
  async function then(work: () => Promise<unknown>): Promise<void> {
    try {
      await work();
    } catch (error) {
      if (!(error instanceof ShellError)) throw error;
      say(error.message);
    }
    clips.watch(clip);
  }
  const keep = (found: ClipLink) => attempt(session, relinkClip, { clip: found });
  const confirm = () =>
    then(async () => {
      setAsking(false);
      if (link.sha256 !== null) keep(await shell.confirmLink(clip, link.sha256));
    });
  const give = (file: File | null) =>
    then(async () => {
      if (!file) return;
      setShare(0);
      try {
        const { link: given, same } = await shell.giveFile(
          clip,
          file,
          setShare,
          new AbortController().signal,
        );
        if (same) keep(given);
      } finally {
        setShare(null);
      }
    });

  return (
    <div className="clip-link" data-tone={link.state === "moved" ? "care" : "bad"} role="alert">
      <span>{link.text ?? WORDS[link.state]}</span>
      {link.state === "moved" && (
        <Button size="compact-sm" disabled={readOnly || link.sha256 === null} onClick={() => void confirm()}>
          Keep the new place
        </Button>
      )}
      {link.state === "changed" && (
        <Button size="compact-sm" disabled={readOnly || link.sha256 === null} onClick={() => setAsking(true)}>
          Use this file …
        </Button>
      )}
      {link.state === "missing" && (
        <Button size="compact-sm" variant="default" onClick={() => void then(() => shell.lookForClip(clip))}>
          Look again
        </Button>
      )}
      {link.state === "on-share" && (
        <Button size="compact-sm" variant="default" onClick={() => void then(() => shell.agreeToShare(clip))}>
          I know it, open it
        </Button>
      )}
      {link.state !== "moved" &&
        (share === null ? (
          <FileButton accept="video/*,.mts,.m2ts,.avi,.mkv,.mov,.mp4" onChange={(f) => void give(f)}>
            {(props) => (
              <Button {...props} size="compact-sm" variant="default" disabled={readOnly}>
                Choose its file
              </Button>
            )}
          </FileButton>
        ) : (
          <span className="number">copying {Math.round(100 * share)} %</span>
        ))}
      <Modal opened={asking} onClose={() => setAsking(false)} title="Use another file for this clip?">
        <p>
          The file is not the one this clip's marks were put on.{" "}
          {marksOn(session, clip) === 0
            ? "Nothing is marked on it yet."
            : `${marksOn(session, clip)} marks and event frames stand on the old one. If the new one was cut, turned, or
               made anew, they lie on other frames or other places, and every number from them is wrong.`}
        </p>
        <Group mt="md">
          <Button color="red" onClick={() => void confirm()}>
            It shows the same, use it
          </Button>
          <Button variant="default" onClick={() => setAsking(false)}>
            Leave it
          </Button>
        </Group>
      </Modal>
    </div>
  );
}

const WORDS = {
  moved: "The clip's file was found at another place.",
  missing: "The clip's file is not where it was.",
  changed: "The clip's file is not the one it was.",
  "on-share": "The clip lies on another computer and was not touched.",
} as const;

function marksOn(session: Session, clip: string): number {
  const { study, marks } = session.getState().whole;
  return study.trials
    .filter((t) => t.clip === clip)
    .reduce((sum, t) => sum + (marks[t.id]?.marks.length ?? 0) + (marks[t.id]?.events.length ?? 0), 0);
}
