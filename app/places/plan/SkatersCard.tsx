import { ActionIcon, Button, TextInput, Tooltip } from "@mantine/core";
import { useState } from "react";
import { lengthText, readLength } from "../../../src/study/length.ts";
import { keptOf } from "../../../src/study/library.ts";
import type { Body, Skater, Study } from "../../../src/study/types.ts";
import { addSkater } from "../../commands/plan/addSkater.ts";
import { editSkater } from "../../commands/plan/editSkater.ts";
import { removeSkater } from "../../commands/plan/removeSkater.ts";
import { attempt } from "../../store/attempt.ts";
import type { Session } from "../../store/session.ts";
import { Card } from "../shared/Card.tsx";
import { Field } from "../shared/Field.tsx";
import { KeepButton } from "../shared/KeepButton.tsx";
import { sentenceOf, tryCommand } from "../shared/tryCommand.ts";
import { type KeptThings, keptAs } from "../shared/useLibrary.ts";

const BODY: readonly { readonly part: keyof Body; readonly label: string; readonly help: string }[] = [
  {
    part: "hipHeight",
    label: "Hip height",
    help: "From the ice to the hip joint, crouched as in a sprint with skates on; not standing. Places hips that are off the ice.",
  },
  {
    part: "upperArm",
    label: "Upper arm",
    help: "From shoulder joint to elbow joint. Needed for arm swing from one camera.",
  },
  {
    part: "forearm",
    label: "Forearm",
    help: "From elbow joint to wrist joint. Needed for arm swing from one camera.",
  },
  {
    part: "stature",
    label: "Stature",
    help: "Standing height without skates. Stands in for arm lengths that were not measured, with a wider uncertainty.",
  },
  {
    part: "blade",
    label: "Blade",
    help: "Length of the runner, from end to end as it is marked. Shows a scale that is too long or too short.",
  },
];

/** Who skates, and the lengths of the body that some quantities need. */
export function SkatersCard({
  session,
  study,
  kept: { library, keep },
}: {
  session: Session;
  study: Study;
  kept: KeptThings;
}) {
  const [name, setName] = useState("");
  const { skaters } = study;
  const lengths = study.lane.unit;
  const add = () => {
    const kept = keptAs(library.skaters, name);
    if (attempt(session, addSkater, kept ? { name, kept } : { name })) setName("");
  };
  return (
    <Card
      title="Skaters"
      area="skaters"
      actions={skaters.length > 0 && <KeepButton onKeep={() => keep({ skaters: keptOf(study).skaters })} />}
      note="Body lengths may stay blank; what needs them says so. The code stands for the name where names are left out."
    >
      {skaters.length > 0 && (
        <div className="sheet-scroll">
          <table className="sheet plan-skaters">
            <thead>
              <tr>
                <th>Name</th>
                <th>Code</th>
                {BODY.map(({ part, label, help }) => (
                  <th key={part}>
                    <Tooltip label={help}>
                      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: the explanation must be reachable by keyboard */}
                      <span className="explained" tabIndex={0}>
                        {label}
                      </span>
                    </Tooltip>
                  </th>
                ))}
                <th>
                  <span className="visually-hidden">Remove</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {skaters.map((skater) => (
                <SkaterRow key={skater.id} session={session} skater={skater} lengths={lengths} />
              ))}
            </tbody>
          </table>
        </div>
      )}
      <form
        className="add-line"
        onSubmit={(e) => {
          e.preventDefault();
          add();
        }}
      >
        <TextInput
          aria-label="New skater's name"
          placeholder="Name of the next skater"
          size="sm"
          {...(library.skaters.length > 0 && { list: "kept-skaters" })}
          value={name}
          onChange={(e) => setName(e.currentTarget.value)}
        />
        <datalist id="kept-skaters">
          {library.skaters
            .filter((s) => keptAs(skaters, s.name) === undefined)
            .map((s) => (
              <option key={s.name} value={s.name} />
            ))}
        </datalist>
        <Button type="submit" variant="default" disabled={name.trim() === ""}>
          Add skater
        </Button>
      </form>
    </Card>
  );
}

function SkaterRow({ session, skater, lengths }: { session: Session; skater: Skater; lengths: "m" | "ft" }) {
  const change = (part: Partial<Omit<Skater, "id">>, what: string) =>
    tryCommand(session, editSkater, { skater: skater.id, change: part, what });
  const body = (part: keyof Body, label: string, text: string) => {
    const { [part]: _, ...others } = skater.body;
    if (text.trim() === "") return change({ body: others }, `${skater.name}'s ${label.toLowerCase()}`);
    let length = 0;
    const refused = sentenceOf(() => {
      length = readLength(text, "m").metres;
    });
    return (
      refused ?? change({ body: { ...others, [part]: length } }, `${skater.name}'s ${label.toLowerCase()}`)
    );
  };
  return (
    <tr>
      <td>
        <Field
          aria-label={`Name of ${skater.name}`}
          value={skater.name}
          onCommit={(name) => change({ name }, `${skater.name}'s name`)}
        />
      </td>
      <td className="narrow">
        <Field
          aria-label={`Code of ${skater.name}`}
          value={skater.code}
          onCommit={(code) => change({ code: code.trim() }, `${skater.name}'s code`)}
        />
      </td>
      {BODY.map(({ part, label }) => {
        const length = skater.body[part];
        return (
          <td key={part} className="narrow">
            <Field
              aria-label={`${label} of ${skater.name}`}
              value={length === undefined ? "" : lengthText(length, lengths)}
              placeholder="–"
              onCommit={(text) => body(part, label, text)}
            />
          </td>
        );
      })}
      <td>
        <Tooltip label={`Remove ${skater.name}`}>
          <ActionIcon
            variant="subtle"
            color="gray"
            aria-label={`Remove ${skater.name}`}
            onClick={() => attempt(session, removeSkater, { skater: skater.id, name: skater.name })}
          >
            ✕
          </ActionIcon>
        </Tooltip>
      </td>
    </tr>
  );
}
