import { Button, Modal, NativeSelect } from "@mantine/core";
import { useEffect, useState } from "react";
import { useStore } from "zustand";
import { trialLabel } from "../../../src/study/labels.ts";
import { proposeClips } from "../../../src/trials/proposeClips.ts";
import type { Shell } from "../../shell/Shell.ts";
import type { Session } from "../../store/session.ts";
import { addClipTo } from "../../store/uploads.ts";

interface ConfirmClipsProps {
  readonly session: Session;
  readonly shell: Shell;
  readonly files: readonly File[];
  readonly onClose: () => void;
}

const BECAUSE = {
  "its name": "by its name",
  "when it was recorded": "by when it was recorded",
  "the order": "by the order",
  nothing: "no trial left",
} as const;

/** Which dropped file shows which trial: proposed, then confirmed by the person. */
export function ConfirmClips({ session, shell, files, onClose }: ConfirmClipsProps) {
  const study = useStore(session, (s) => s.whole.study);
  const [chosen, setChosen] = useState<readonly string[]>([]);
  const names = files.map((f) => f.name);
  const proposals = proposeClips(
    study,
    names,
    files.map((f) => f.lastModified / 1000),
  );
  // biome-ignore lint/correctness/useExhaustiveDependencies: proposed once for each drop, then the person chooses
  useEffect(() => setChosen(proposals.map((p) => p.trial ?? "")), [files]);
  if (files.length === 0) return null;
  const open = study.trials.filter((t) => t.clip === undefined).sort((a, b) => a.order - b.order);
  const used = chosen.filter((trial) => trial !== "");
  const twice = used.length > new Set(used).size;
  const add = () => {
    files.forEach((file, i) => {
      if (chosen[i]) addClipTo(session, shell, file, chosen[i]);
    });
    onClose();
  };
  return (
    <Modal
      opened
      onClose={onClose}
      size="xl"
      title={files.length === 1 ? "Which trial does it show?" : "Which clip shows which trial?"}
    >
      <p className="quiet modal-words">
        A proposal: by file name where that says enough, otherwise in the order the files were recorded or
        named, against the run order. Check it; a clip on the wrong trial can still be moved later.
      </p>
      <table className="sheet">
        <thead>
          <tr>
            <th>Clip</th>
            <th>Trial</th>
            <th>Proposed</th>
          </tr>
        </thead>
        <tbody>
          {files.map((file, i) => (
            <tr key={`${file.name} ${file.size} ${file.lastModified}`}>
              <td className="file-name">{file.name}</td>
              <td>
                <NativeSelect
                  aria-label={`Trial of ${file.name}`}
                  value={chosen[i] ?? ""}
                  data={[
                    { value: "", label: "leave out" },
                    ...open.map((t) => ({ value: t.id, label: `${t.order}. ${trialLabel(study, t.id)}` })),
                  ]}
                  onChange={(e) => {
                    const trial = e.currentTarget.value;
                    setChosen(files.map((_, j) => (j === i ? trial : (chosen[j] ?? ""))));
                  }}
                />
              </td>
              <td className="quiet">{BECAUSE[proposals[i]!.because]}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {twice && <p className="bad modal-words">Two clips are on the same trial.</p>}
      <div className="modal-actions">
        <Button variant="default" onClick={onClose}>
          Cancel
        </Button>
        <Button disabled={twice || used.length === 0} onClick={add}>
          Add {used.length === 1 ? "one clip" : `${used.length} clips`}
        </Button>
      </div>
    </Modal>
  );
}
