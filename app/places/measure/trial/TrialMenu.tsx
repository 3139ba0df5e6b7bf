import { Button, Group, Menu, Modal } from "@mantine/core";
import { useState } from "react";
import type { Mark } from "../../../../src/study/types.ts";
import { clearTrialMarks } from "../../../commands/marks/clearTrialMarks.ts";
import { OpenFilm } from "../../../film/OpenFilm.tsx";
import { attempt } from "../../../store/attempt.ts";
import { saveFrame } from "../clip/saveFrame.ts";
import type { Pass } from "../core/pass.ts";
import { toTask } from "../core/tool.ts";
import type { Measuring } from "../core/useMeasure.ts";
import { plural } from "../numbers/plural.ts";

/** The pass after the last that was done. */
function nextPass(marks: readonly Mark[]): Pass {
  return { pass: 1 + Math.max(...marks.map((m) => m.pass ?? 1)), observer: "" };
}

/** Seldom wanted things of a trial. */
export function TrialMenu({ m }: { m: Measuring }) {
  const [asking, setAsking] = useState(false);
  const [filming, setFilming] = useState(false);
  const { events, marks } = m.marks;
  return (
    <>
      <Menu position="bottom-end">
        <Menu.Target>
          <button type="button" className="plain-button">
            More
          </button>
        </Menu.Target>
        <Menu.Dropdown>
          <Menu.Item onClick={() => m.ui.setState({ keysShown: true })}>Keys and pointer (?)</Menu.Item>
          {m.trial.clip && (
            <>
              <Menu.Item onClick={() => void saveFrame(m, "png")}>Save this frame (PNG)</Menu.Item>
              <Menu.Item onClick={() => void saveFrame(m, "svg")}>Save this frame (SVG)</Menu.Item>
              <Menu.Item onClick={() => setFilming(true)}>Clip with numbers (MP4) …</Menu.Item>
              <Menu.Item onClick={() => void m.clips.prepare(m.trial.clip as string)}>
                Prepare the clip again
              </Menu.Item>
            </>
          )}
          <Menu.Item
            disabled={m.readOnly || marks.length === 0}
            onClick={() => m.ui.setState({ ...toTask("strides"), selected: null, pass: nextPass(marks) })}
          >
            Mark again without seeing the marks
          </Menu.Item>
          <Menu.Item
            color="var(--bad)"
            disabled={m.readOnly || (events.length + marks.length === 0 && !m.marks.iceReference)}
            onClick={() => setAsking(true)}
          >
            Clear all marks of this trial …
          </Menu.Item>
        </Menu.Dropdown>
      </Menu>
      {filming && (
        <OpenFilm
          session={m.session}
          shell={m.shell}
          trials={[m.trial.id]}
          onClose={() => setFilming(false)}
        />
      )}
      <Modal opened={asking} onClose={() => setAsking(false)} title="Clear all marks of this trial?">
        <p>
          {plural(events.length, "event frame")}, {plural(marks.length, "mark")} and the scale are taken away.
          Undo brings them back.
        </p>
        <Group mt="md">
          <Button
            color="red"
            onClick={() => {
              attempt(m.session, clearTrialMarks, { trial: m.trial.id });
              setAsking(false);
            }}
          >
            Clear them
          </Button>
          <Button variant="default" onClick={() => setAsking(false)}>
            Keep them
          </Button>
        </Group>
      </Modal>
    </>
  );
}
