import { NativeSelect } from "@mantine/core";
import type { ReactNode } from "react";
import { lengthText, readSignedLength } from "../../../../src/study/length.ts";
import type { CameraPlan, Lane } from "../../../../src/study/types.ts";
import { Field } from "../../shared/Field.tsx";
import { sentenceOf } from "../../shared/tryCommand.ts";

interface Props {
  readonly plan: CameraPlan;
  readonly unit: Lane["unit"];
  readonly readOnly: boolean;
  readonly children?: ReactNode;
  onPut(plan: CameraPlan, what: string): string | null;
}

const PICTURES = ["1280x720", "1920x1080", "2704x1520", "3840x2160"];
const RATES = ["25", "30", "50", "60", "120", "240"];

const LENGTHS = [
  {
    key: "x",
    label: "Along the lane",
    help: "Where the camera stands, from the start line towards the finish; negative is behind the start.",
    what: "where the camera stands",
  },
  {
    key: "y",
    label: "To the side",
    help: "From the lane's axis to the skater's left; negative is to the right.",
    what: "where the camera stands",
  },
  {
    key: "height",
    label: "Lens above ice",
    help: "Height of the lens above the ice.",
    what: "the camera's height",
  },
] as const;

/** The camera in numbers, for those who have taped it and for those who can't drag. */
export function CameraFields({ plan, unit, readOnly, children, onPut }: Props) {
  const length = (text: string, what: string, key: "x" | "y" | "height") => {
    let done: string | null = null;
    const sentence = sentenceOf(() => {
      done = onPut({ ...plan, [key]: readSignedLength(text, unit) }, what);
    });
    return sentence ?? done;
  };
  const lens = (text: string) => {
    const degrees = Number(text.replace("°", "").replace(",", "."));
    if (!Number.isFinite(degrees)) return `“${text}” is no angle. Type degrees, like 65.`;
    return onPut({ ...plan, hfovDeg: degrees }, "the camera's lens");
  };
  const picture = `${plan.widthPx}x${plan.heightPx}`;
  const rate = String(plan.fps);
  return (
    <div className="camera-fields">
      {LENGTHS.map(({ key, label, help, what }) => (
        <Field
          key={key}
          label={label}
          help={help}
          value={lengthText(plan[key], unit)}
          readOnly={readOnly}
          onCommit={(text) => length(text, what, key)}
        />
      ))}
      <Field
        label="Lens sees"
        help="From the left to the right edge of the picture, degrees. A phone's main camera held level sees about 65°, twice enlarged about 35°. To find yours: how wide is what fills the picture from 10 m away?"
        value={`${plan.hfovDeg}°`}
        readOnly={readOnly}
        onCommit={lens}
      />
      <NativeSelect
        label="Picture, pixels"
        size="sm"
        disabled={readOnly}
        data={[...new Set([...PICTURES, picture])]}
        value={picture}
        onChange={(e) => {
          const [widthPx, heightPx] = e.currentTarget.value.split("x").map(Number) as [number, number];
          onPut({ ...plan, widthPx, heightPx }, "the camera's picture");
        }}
      />
      <NativeSelect
        label="Frames a second"
        size="sm"
        disabled={readOnly}
        data={[...new Set([...RATES, rate])]}
        value={rate}
        onChange={(e) => onPut({ ...plan, fps: Number(e.currentTarget.value) }, "the camera's frame rate")}
      />
      {children}
    </div>
  );
}
