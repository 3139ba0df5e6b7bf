import { Progress } from "@mantine/core";
import { useStore } from "zustand";
import { cancelUpload, retryUpload, uploads } from "../../store/uploads.ts";

/** Clips on their way into the study. */
export function Uploads() {
  const list = useStore(uploads, (s) => s.list);
  if (list.length === 0) return null;
  return (
    <section className="card place-card uploads" aria-label="Clips being added">
      {list.map((u) => (
        <div key={u.id} className="upload">
          <span className="upload-name">{u.name}</span>
          {u.state === "failed" ? (
            <span className="bad upload-bar" role="alert">
              {u.failure}
            </span>
          ) : (
            <Progress
              className="upload-bar"
              value={100 * u.share}
              aria-label={`${u.name}: ${Math.round(100 * u.share)} % copied`}
            />
          )}
          <span className="quiet number upload-share">
            {u.state === "copying"
              ? `${Math.round(100 * u.share)} %`
              : u.state === "waiting"
                ? "waiting"
                : ""}
          </span>
          {u.state === "failed" && (
            <button type="button" className="plain-button" onClick={() => retryUpload(u.id)}>
              Try again
            </button>
          )}
          <button type="button" className="plain-button" onClick={() => cancelUpload(u.id)}>
            {u.state === "failed" ? "Dismiss" : "Cancel"}
          </button>
        </div>
      ))}
    </section>
  );
}
