import { Modal } from "@mantine/core";
import { useStore } from "zustand";
import type { MeasureStore } from "../core/measureState.ts";
import { KEYS } from "../core/useKeys.ts";

/** Every key of this place, opened by "?". */
export function KeyList({ ui }: { ui: MeasureStore }) {
  const shown = useStore(ui, (s) => s.keysShown);
  return (
    <Modal
      opened={shown}
      onClose={() => ui.setState({ keysShown: false })}
      title="Keys and pointer in Measure"
      size="lg"
    >
      <table className="key-list">
        <tbody>
          {KEYS.map(([keys, does]) => (
            <tr key={keys}>
              <th scope="row">{keys}</th>
              <td>{does}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Modal>
  );
}
