import { Button } from "@mantine/core";
import { useState } from "react";

/** Keeps something for other studies, and says that it did. */
export function KeepButton({
  label = "Keep for other studies",
  disabled = false,
  onKeep,
}: {
  readonly label?: string;
  readonly disabled?: boolean;
  readonly onKeep: () => Promise<boolean>;
}) {
  const [done, setDone] = useState(false);
  return (
    <>
      <Button
        variant="default"
        size="compact-sm"
        disabled={disabled}
        onClick={() => void onKeep().then(setDone)}
      >
        {label}
      </Button>
      {done && (
        <span className="quiet keep-done" role="status">
          Kept. Studies that are there stay as they are.
        </span>
      )}
    </>
  );
}
