import { useStore } from "zustand";
import { dismiss, messages } from "../store/messages.ts";

/** Sentences for the coach, over whatever place is open. They go away when read, or when the next thing works. */
export function Messages() {
  const list = useStore(messages, (s) => s.list);
  return (
    <div className="messages" role="status" aria-live="polite">
      {list.map((m) => (
        <div key={m.id} className="notice" data-kind={m.kind}>
          <p>{m.text}</p>
          {m.actions.map(({ label, act }) => (
            <button
              key={label}
              type="button"
              onClick={() => {
                dismiss(m.id);
                act();
              }}
            >
              {label}
            </button>
          ))}
          <button type="button" onClick={() => dismiss(m.id)}>
            Close
          </button>
        </div>
      ))}
    </div>
  );
}
