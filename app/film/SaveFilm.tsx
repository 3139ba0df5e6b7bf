import { Button, Progress } from "@mantine/core";
import { useEffect, useRef, useState } from "react";
import type { FilmNews, FilmOrder } from "../../src/study/exchange.ts";
import { type Shell, ShellError } from "../shell/Shell.ts";

type State =
  | { readonly kind: "idle" }
  | { readonly kind: "going"; readonly news: (FilmNews & { kind: "progress" }) | null }
  | { readonly kind: "saved"; readonly name: string; readonly url: string }
  | { readonly kind: "said"; readonly text: string };

/** Saves the film as a file for phones: how far it has come, stopping it, and where it went. */
export function SaveFilm({ shell, order }: { readonly shell: Shell; readonly order: FilmOrder }) {
  const [state, setState] = useState<State>({ kind: "idle" });
  const stop = useRef<AbortController | null>(null);
  useEffect(() => () => stop.current?.abort(), []);

  async function save(): Promise<void> {
    const mine = new AbortController();
    stop.current = mine;
    setState({ kind: "going", news: null });
    try {
      const made = await shell.makeFilm(order, (news) => setState({ kind: "going", news }), mine.signal);
      setState({ kind: "saved", ...made });
      hand(made.url, made.name);
    } catch (error) {
      if (mine.signal.aborted) setState({ kind: "said", text: "Stopped. No clip was saved." });
      else if (error instanceof ShellError) setState({ kind: "said", text: error.message });
      else throw error;
    }
  }

  if (state.kind === "going") {
    const { news } = state;
    const share = news && news.of > 0 ? news.done / news.of : 0;
    return (
      <div className="film-save">
        <div className="film-progress">
          <Progress value={100 * share} aria-label="Saving the clip" />
          <span className="quiet" role="status">
            {news ? progressWords(news) : "Beginning …"}
          </span>
        </div>
        <Button variant="default" onClick={() => stop.current?.abort()}>
          Stop
        </Button>
      </div>
    );
  }
  return (
    <div className="film-save">
      <span role="status" className="film-said">
        {state.kind === "saved" && (
          <>
            Saved to your downloads as {state.name}.{" "}
            <a href={state.url} download={state.name}>
              Save it again
            </a>
          </>
        )}
        {state.kind === "said" && state.text}
      </span>
      <Button onClick={() => void save()}>Save as clip (MP4)</Button>
    </div>
  );
}

/** Hands the file to the browser's own saving. */
function hand(url: string, name: string): void {
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
}

function progressWords({ doing, done, of, secondsLeft }: FilmNews & { kind: "progress" }): string {
  const left = secondsLeft === null ? "" : `, about ${Math.max(1, Math.round(secondsLeft))} s left`;
  return `${doing === "preparing" ? "Preparing the clip" : "Writing"}: ${done} of ${of} frames${left}`;
}
