import { readNumber } from "../../../src/study/csv.ts";
import type { Conditions, Study } from "../../../src/study/types.ts";
import { setEvening } from "../../commands/plan/setEvening.ts";
import type { Session } from "../../store/session.ts";
import { Card } from "../shared/Card.tsx";
import { Field } from "../shared/Field.tsx";
import { tryCommand } from "../shared/tryCommand.ts";

const NOT_A_DAY = "Type the day as year-month-day, like 2027-01-14.";
const NO_NUMBER = "Type degrees Celsius, like -4.";

/** A day that there is; null for anything else. */
function readDay(text: string): string | null {
  const typed = text.trim();
  if (typed === "") return "";
  const at = new Date(`${typed}T00:00:00Z`);
  const is = /^\d{4}-\d\d-\d\d$/.test(typed) && !Number.isNaN(at.getTime());
  return is && at.toISOString().startsWith(typed) ? typed : null;
}

const TEXTS = [
  { key: "ice", label: "Ice", example: "hard, fresh at 19:00" },
  { key: "blades", label: "Blades and sharpening", example: "16 mm hollow, all sharpened on Tuesday" },
  { key: "stick", label: "Stick", example: "with, in the right hand" },
  { key: "timedBy", label: "Timed by", example: "who stood at the photocells" },
] as const;

/** What to note of the evening: a minute's work, and in a season nobody remembers it. */
export function EveningCard({ session, study }: { session: Session; study: Study }) {
  const { date = "", conditions = {} } = study;
  const set = (change: { [K in keyof Conditions]?: Conditions[K] | undefined }, what: string) =>
    tryCommand(session, setEvening, { conditions: change, what });
  return (
    <Card title="The evening" area="evening" note="shown in the report">
      <div className="fields">
        <Field
          label="Date"
          value={date}
          placeholder="2027-01-14"
          onCommit={(text) => {
            const day = readDay(text);
            return day === null
              ? NOT_A_DAY
              : tryCommand(session, setEvening, { date: day, what: "the date" });
          }}
        />
        <Field
          label="Air beside the ice, °C"
          value={conditions.airC === undefined ? "" : String(conditions.airC)}
          placeholder="-4"
          onCommit={(text) => {
            const typed = text.trim().replace("−", "-").replace(",", ".");
            if (typed === "") return set({ airC: undefined }, "the temperature");
            const airC = readNumber(typed);
            return airC === null ? NO_NUMBER : set({ airC }, "the temperature");
          }}
        />
        {TEXTS.map(({ key, label, example }) => (
          <Field
            key={key}
            label={label}
            value={conditions[key] ?? ""}
            placeholder={example}
            onCommit={(text) => set({ [key]: text }, label.toLowerCase())}
          />
        ))}
      </div>
    </Card>
  );
}
