import { TextInput } from "@mantine/core";
import { useId } from "react";

/** A name under which something is kept in the library: typed anew, or one of those there. */
export function KeptName({
  label,
  placeholder,
  offered,
  small = false,
  value,
  onChange,
}: {
  readonly label: string;
  readonly placeholder: string;
  readonly offered: readonly { readonly name: string }[];
  readonly small?: boolean;
  readonly value: string;
  readonly onChange: (name: string) => void;
}) {
  const list = useId();
  return (
    <>
      <TextInput
        {...(small && { size: "xs" })}
        aria-label={label}
        placeholder={placeholder}
        {...(offered.length > 0 && { list })}
        value={value}
        onChange={(e) => onChange(e.currentTarget.value)}
      />
      <datalist id={list}>
        {offered.map(({ name }) => (
          <option key={name} value={name} />
        ))}
      </datalist>
    </>
  );
}
