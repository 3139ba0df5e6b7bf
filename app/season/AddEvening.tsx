import { Button, TextInput } from "@mantine/core";
import { useState } from "react";
import type { KnownStudy } from "../../src/study/exchange.ts";
import { type Shell, ShellError } from "../shell/Shell.ts";

/** An evening that was never opened here (a study somebody shared), by its folder: looked at, so that it is listed like the others. */
export function AddEvening({
  shell,
  onFound,
}: {
  readonly shell: Shell;
  readonly onFound: (found: KnownStudy) => void;
}) {
  const [folder, setFolder] = useState("");
  const [looking, setLooking] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);
  const look = async () => {
    setLooking(true);
    setProblem(null);
    try {
      onFound(await shell.lookAtStudy(folder.trim()));
      setFolder("");
    } catch (error) {
      if (!(error instanceof ShellError)) throw error;
      setProblem(error.message);
    } finally {
      setLooking(false);
    }
  };
  return (
    <>
      <form
        className="season-line"
        onSubmit={(e) => {
          e.preventDefault();
          void look();
        }}
      >
        <TextInput
          className="season-folder"
          aria-label="Folder of another evening"
          placeholder="~/studies/from-another-club"
          value={folder}
          onChange={(e) => setFolder(e.currentTarget.value)}
        />
        <Button type="submit" variant="default" disabled={looking || folder.trim() === ""}>
          Add an evening
        </Button>
      </form>
      {problem !== null && (
        <p className="care" role="alert">
          {problem}
        </p>
      )}
    </>
  );
}
