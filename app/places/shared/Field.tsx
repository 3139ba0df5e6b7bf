import { TextInput, type TextInputProps, Tooltip } from "@mantine/core";
import { useState } from "react";

interface FieldProps extends Omit<TextInputProps, "value" | "onChange" | "error"> {
  readonly value: string;
  /** Takes what was typed; a sentence means it was refused and why. */
  readonly onCommit: (text: string) => string | null;
  /** One line, on hover and focus. */
  readonly help?: string;
}

/** A text field that acts when one leaves it or presses Enter; Escape puts back what was there. */
export function Field({ value, onCommit, help, ...rest }: FieldProps) {
  const [typed, setTyped] = useState<string | null>(null);
  const [refused, setRefused] = useState<string | null>(null);
  const commit = () => {
    if (typed === null || typed === value) return setTyped(null);
    const why = onCommit(typed);
    setRefused(why);
    if (why === null) setTyped(null);
  };
  const input = (
    <TextInput
      size="sm"
      {...rest}
      value={typed ?? value}
      error={refused}
      onChange={(e) => {
        setTyped(e.currentTarget.value);
        setRefused(null);
      }}
      onBlur={commit}
      onKeyDown={(e) => {
        if (e.key === "Enter") commit();
        if (e.key === "Escape") {
          setTyped(null);
          setRefused(null);
        }
      }}
    />
  );
  return help ? (
    <Tooltip label={help} position="top-start">
      <div>{input}</div>
    </Tooltip>
  ) : (
    input
  );
}
