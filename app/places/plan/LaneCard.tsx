import { NativeSelect } from "@mantine/core";
import { lengthText, readLength, readLengths } from "../../../src/study/length.ts";
import type { Lane, Study } from "../../../src/study/types.ts";
import { setLane } from "../../commands/plan/setLane.ts";
import type { Session } from "../../store/session.ts";
import { Card } from "../shared/Card.tsx";
import { Field } from "../shared/Field.tsx";
import { sentenceOf, tryCommand } from "../shared/tryCommand.ts";
import type { KeptThings } from "../shared/useLibrary.ts";
import { RinkLine } from "./RinkLine.tsx";

/** Where one skates and what times it. */
export function LaneCard({ session, study, kept }: { session: Session; study: Study; kept: KeptThings }) {
  const { lane } = study;
  const change = (part: Partial<Lane>, what: string) => tryCommand(session, setLane, { change: part, what });
  const typed = (text: string, then: (metres: number, unit: Lane["unit"]) => string | null) => {
    let done: string | null = null;
    const refused = sentenceOf(() => {
      const { metres, unit } = readLength(text, lane.unit);
      done = then(metres, unit);
    });
    return refused ?? done;
  };
  return (
    <Card title="Lane" area="lane">
      <div className="fields">
        <Field
          label="Distance"
          inputWrapperOrder={["label", "input", "description", "error"]}
          help="Start line to finish line, in metres or feet: 30 m, 98 ft 5 in, 36 yd. Converted exactly (1 ft = 0.3048 m)."
          value={lane.distance === 0 ? "" : lengthText(lane.distance, lane.unit)}
          placeholder="30 m or 98 ft 5 in"
          description={distanceWords(lane)}
          onCommit={(text) =>
            typed(text, (distance, unit) => change({ distance, unit }, "the lane's distance"))
          }
        />
        <Field
          label="Gates"
          help="Where the photocells stand, from the start line on, with semicolons between: 0 m; 15 m; 30 m. A gate before the line, for a running start, is not one of them."
          value={lane.gates.map((gate) => lengthText(gate, lane.unit)).join("; ")}
          placeholder="0 m; 30 m"
          onCommit={(text) => {
            let gates: number[] = [];
            const refused = sentenceOf(() => {
              gates = readLengths(text, lane.unit);
            });
            return refused ?? change({ gates }, "the gates");
          }}
        />
        <NativeSelect
          label="Photocell beam"
          size="sm"
          value={lane.gateBeam}
          data={[
            { value: "not said", label: "not said" },
            { value: "single", label: "single beam" },
            { value: "dual", label: "dual beam" },
          ]}
          onChange={(e) =>
            change({ gateBeam: e.currentTarget.value as Lane["gateBeam"] }, "the photocell beam")
          }
        />
        <NativeSelect
          label="Start"
          size="sm"
          value={lane.start}
          data={[
            { value: "not said", label: "not said" },
            { value: "standing", label: "from standing" },
            { value: "flying", label: "flying" },
          ]}
          onChange={(e) => change({ start: e.currentTarget.value as Lane["start"] }, "the start")}
        />
      </div>
      <RinkLine session={session} kept={kept} />
    </Card>
  );
}

/** Longer than any sprint between gates; a unit was meant otherwise. */
const LONG = 250;

/** What was understood, where it is not plain. */
function distanceWords({ distance, unit }: Lane): string | undefined {
  const said = [
    ...(unit === "ft" && distance > 0
      ? [`= ${lengthText(distance, "m")}. A number alone is in feet here; write "m" for metres.`]
      : []),
    ...(distance > LONG
      ? [`${lengthText(distance, "m")} is long for a timed sprint: is the number right, and its unit?`]
      : []),
  ];
  return said.length > 0 ? said.join(" ") : undefined;
}
