import { Button, Modal, Popover, TextInput } from "@mantine/core";
import { type FormEvent, useState } from "react";
import type { ClipIndex } from "../../../../src/study/exchange.ts";
import { clipTimeText } from "../../../../src/time/clipTime.ts";
import { setClipPart } from "../../../commands/clips/setClipPart.ts";
import { attempt } from "../../../store/attempt.ts";
import { lastFrame } from "../../../store/clipFrames.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { secondsOf } from "./part/filmParts.ts";
import { PartChooser } from "./part/PartChooser.tsx";

/** Which part of the clip matters: the rest is not prepared, which saves time and room. */
export function ClipPart({ m }: { m: Measuring }) {
  const [open, setOpen] = useState(false);
  const [first, setFirst] = useState("");
  const [last, setLast] = useState("");
  const [pictures, setPictures] = useState(false);
  const { index, session } = m;
  if (!index) return null;
  const { clip } = index;
  const part = m.whole.study.clips.find((c) => c.id === clip)?.part ?? null;
  const lasts = index.lasts ?? 0;
  const begin = () => {
    setFirst(String(part?.first ?? 0));
    setLast(String(part?.last ?? lastFrame(index)));
    setOpen(!open);
  };
  const set = (e: FormEvent) => {
    e.preventDefault();
    const number = (text: string) => (/^\s*\d+\s*$/.test(text) ? Number(text) : Number.NaN);
    keep({ first: number(first), last: number(last) });
  };
  const keep = (next: { first: number; last: number } | null) => {
    if (!attempt(session, setClipPart, { clip, part: next })) return;
    setOpen(false);
    const { frame } = session.getState();
    if (next) session.setState({ frame: Math.max(next.first, Math.min(next.last, frame)) });
  };
  const here = () => String(session.getState().frame);
  return (
    <>
      <Popover opened={open} onChange={setOpen} position="top" width={300} trapFocus>
        <Popover.Target>
          <button type="button" className="clip-speed number" aria-expanded={open} onClick={begin}>
            {part ? `part: ${partText(index, part)}` : "whole clip"}
          </button>
        </Popover.Target>
        <Popover.Dropdown>
          <p className="quiet">
            Only the part that matters is prepared. Frame numbers and times stay those of the whole clip.
          </p>
          <form onSubmit={set} className="part-form">
            <End label="First frame" value={first} onValue={setFirst} here={here} disabled={m.readOnly} />
            <End label="Last frame" value={last} onValue={setLast} here={here} disabled={m.readOnly} />
            <div className="row">
              <Button type="submit" size="compact-sm" disabled={m.readOnly}>
                Keep this part
              </Button>
              <Button
                size="compact-sm"
                variant="default"
                disabled={m.readOnly || !part}
                onClick={() => keep(null)}
              >
                Whole clip
              </Button>
            </div>
          </form>
          {lasts > 0 && (
            <Button
              size="compact-sm"
              variant="subtle"
              onClick={() => {
                setOpen(false);
                setPictures(true);
              }}
            >
              Choose in pictures, also for other trials …
            </Button>
          )}
        </Popover.Dropdown>
      </Popover>
      <Modal opened={pictures} onClose={() => setPictures(false)} size="90%" title="Parts of this film">
        <PartChooser
          {...{ session, shell: m.shell, clips: m.clips, clip, readOnly: m.readOnly }}
          trial={m.trial.id}
          onKept={() => setPictures(false)}
        />
      </Modal>
    </>
  );
}

/** Of a long film "1:41 to 1:47" where the frames' times are known, else their numbers. */
function partText(index: ClipIndex, { first, last }: { first: number; last: number }): string {
  const [from, to] = [secondsOf(index, first), secondsOf(index, last)];
  return (index.lasts ?? 0) < 60 || from === null || to === null
    ? `${first} to ${last}`
    : `${clipTimeText(from)} to ${clipTimeText(to)}`;
}

interface EndProps {
  readonly label: string;
  readonly value: string;
  readonly disabled: boolean;
  onValue(value: string): void;
  here(): string;
}

function End({ label, value, disabled, onValue, here }: EndProps) {
  return (
    <div className="row part-end">
      <TextInput
        size="xs"
        label={label}
        inputMode="numeric"
        value={value}
        disabled={disabled}
        onChange={(e) => onValue(e.currentTarget.value)}
      />
      <Button size="compact-xs" variant="subtle" disabled={disabled} onClick={() => onValue(here())}>
        this frame
      </Button>
    </div>
  );
}
