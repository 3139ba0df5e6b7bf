import { Button } from "@mantine/core";
import { useRef } from "react";

interface Props {
  readonly words: string;
  /** What the files are, for those who cannot see the button. */
  readonly label: string;
  readonly accept: string;
  readonly multiple?: boolean;
  readonly disabled?: boolean;
  onFiles(files: readonly File[]): void;
}

/** A button that asks for files. */
export function FilesButton({ words, label, accept, multiple = false, disabled = false, onFiles }: Props) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <Button variant="default" onClick={() => input.current?.click()} disabled={disabled}>
        {words}
      </Button>
      <input
        ref={input}
        type="file"
        accept={accept}
        multiple={multiple}
        hidden
        aria-label={label}
        onChange={(e) => {
          onFiles([...(e.currentTarget.files ?? [])]);
          e.currentTarget.value = "";
        }}
      />
    </>
  );
}
