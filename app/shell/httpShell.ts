import type {
  BackgroundNews,
  ClipIndex,
  ClipLinkState,
  FilmNews,
  FramesAt,
  KnownStudy,
  MotionNews,
  OpenedStudy,
  Reach,
  Saved,
  SeasonNews,
  SoundNews,
  StudyList,
  SuggestNews,
  WindowNews,
} from "../../src/study/exchange.ts";
import type { Library } from "../../src/study/library.ts";
import type { ClipLink } from "../../src/study/types.ts";
import { type Shell, ShellError } from "./Shell.ts";

/** Browsers refuse longer bodies in a request that must outlive its window. */
const KEEPALIVE_BYTES = 60_000;

const SILENT = "Blademark's host does not answer. Is the program that opened this window still running?";

/** What the host may send of a clip's index: only the times from `timesFrom` on. */
type PartialIndex = ClipIndex & { readonly timesFrom?: number };

/**
 * The window's door to the host over same-origin HTTP; the desktop's custom scheme answers the same requests.
 *
 * @param base address of the window's folder: its own path keeps its cookie from other studies' ports
 */
export function createHttpShell(base: string): Shell {
  const times = new Map<string, readonly number[]>();
  const window = crypto.randomUUID();
  let run = "";
  const me = () => ({ "x-blademark-window": window, ...(run ? { "x-blademark-run": run } : {}) });
  const step = (after: number | null) =>
    after === null ? me() : { ...me(), "x-blademark-step": String(after) };
  const at = (path: string) => new URL(path, base).href;
  const clipPath = (clip: string) => `api/clips/${encodeURIComponent(clip)}`;

  return {
    window,
    async openStudy() {
      const opened = await json<OpenedStudy>(at("api/study"), { headers: me() });
      run = opened.run;
      return opened;
    },
    saveStudy: (study, after) => put<Saved>(at("api/study"), study, step(after)),
    saveMarks: (marks, after) =>
      put<Saved>(at(`api/marks/${encodeURIComponent(marks.trial)}`), marks, step(after)),
    addSteps: async (from, steps) =>
      (await send(at("api/steps"), jsonBody("POST", { from, steps }, me()))).json() as Promise<Saved>,
    watch: (hear) => watch(at(`api/window?window=${window}`), hear),
    takeOver: async () => {
      await send(at("api/window/take-over"), { method: "POST", headers: me() });
    },
    ...beside(at, me),
    async season(wish, hear, signal) {
      const { body } = await send(at("api/season"), {
        ...jsonBody("POST", wish, me()),
        keepalive: false,
        signal,
      });
      for await (const news of lines<SeasonNews>(body)) {
        if (news.kind === "progress") hear(news);
        else if (news.kind === "failed") throw new ShellError(news.text, 0);
        else return news;
      }
      throw new ShellError(SILENT, 0);
    },
    letGo: async () => {
      await send(at("api/window/let-go"), { method: "POST", headers: me() });
    },
    leftNothing: async () => {
      await send(at("api/window/left-nothing"), { method: "POST", headers: me(), keepalive: true });
    },
    choose: async (document) => {
      await send(at("api/choose"), jsonBody("POST", { document }, me()));
    },
    savePosition: async (position) => {
      await send(at("api/position"), jsonBody("PUT", position, me()));
    },
    addClip: (file, onProgress, signal) => upload<ClipLink>(at("api/clips"), file, onProgress, signal),
    async clipIndex(clip, until) {
      const known = times.get(clip) ?? [];
      const wait = until === undefined ? "" : `&until=${until}`;
      const index = await json<PartialIndex>(at(`${clipPath(clip)}/index?from=${known.length}${wait}`));
      const { timesFrom = 0, ...whole } = index;
      const all = timesFrom <= known.length ? [...known.slice(0, timesFrom), ...index.times] : index.times;
      if (timesFrom > known.length) {
        times.delete(clip);
        return json<ClipIndex>(at(`${clipPath(clip)}/index`));
      }
      times.set(clip, all);
      return { ...whole, times: all };
    },
    prepareClip: async (clip) => {
      await send(at(`${clipPath(clip)}/prepare`), { method: "POST" });
    },
    cancelClip: async (clip) => {
      await send(at(`${clipPath(clip)}/prepare`), { method: "DELETE" });
    },
    async wantFrame(clip, frame) {
      const answer = await send(at(`${clipPath(clip)}/wanted`), jsonBody("POST", { frame }));
      return ((await answer.json()) as { reach: Reach }).reach;
    },
    async lookForClip(clip) {
      const answer = await send(at(`${clipPath(clip)}/look`), { method: "POST" });
      return (await answer.json()) as ClipLinkState;
    },
    async agreeToShare(clip) {
      const answer = await send(at(`${clipPath(clip)}/agree`), { method: "POST" });
      return (await answer.json()) as ClipLinkState;
    },
    async confirmLink(clip, sha256) {
      const answer = await send(at(`${clipPath(clip)}/link`), jsonBody("POST", { sha256 }));
      return (await answer.json()) as ClipLink;
    },
    giveFile: (clip, file, onProgress, signal) =>
      upload<{ link: ClipLink; same: boolean }>(at(`${clipPath(clip)}/file`), file, onProgress, signal),
    async makeFilm(order, hear, signal) {
      const { body } = await send(at("api/films"), {
        ...jsonBody("POST", order, me()),
        keepalive: false,
        signal,
      });
      let written: { url: string; name: string } | null = null;
      for await (const news of lines<FilmNews>(body)) {
        if (news.kind === "progress") hear(news);
        else if (news.kind === "failed") throw new ShellError(news.text, 0);
        else written = { url: at(`api/films/${news.id}`), name: news.name };
      }
      if (written) return written;
      throw new ShellError(SILENT, 0);
    },
    async suggest(marks, hear, signal) {
      const { body } = await send(at(`api/suggestions/${encodeURIComponent(marks.trial)}`), {
        ...jsonBody("POST", marks, me()),
        keepalive: false,
        signal,
      });
      return (await lastNews<SuggestNews, "suggested">(body, "suggested", hear)).text;
    },
    async compareBackgrounds(trial, other, hear, signal) {
      const path = `api/backgrounds/${encodeURIComponent(trial)}/like/${encodeURIComponent(other)}`;
      const { body } = await send(at(path), { method: "POST", headers: me(), signal });
      return (await lastNews<BackgroundNews, "compared">(body, "compared", hear)).found;
    },
    async followBackground(trial, hear, signal) {
      const path = `api/backgrounds/${encodeURIComponent(trial)}`;
      const { body } = await send(at(path), { method: "POST", headers: me(), signal });
      return (await lastNews<MotionNews, "followed">(body, "followed", hear)).found;
    },
    async listen(view, hear, signal) {
      const path = `api/sounds/${encodeURIComponent(view)}`;
      const { body } = await send(at(path), { method: "POST", headers: me(), signal });
      return (await lastNews<SoundNews, "heard">(body, "heard", hear)).found;
    },
    async glimpse(clip, seconds, signal) {
      try {
        const answer = await send(at(`${clipPath(clip)}/glimpse?at=${seconds.toFixed(2)}`), { signal });
        const time = answer.headers.get("x-blademark-time");
        return { picture: await answer.blob(), time: time === null ? null : Number(time) };
      } catch (error) {
        if (signal.aborted || (error instanceof ShellError && error.status === 404)) return null;
        throw error;
      }
    },
    framesAt: (clip, from, to) => json<FramesAt>(at(`${clipPath(clip)}/frames-at?from=${from}&to=${to}`), {}),
    frameUrl: (clip, frame) => at(`${clipPath(clip)}/frames/${frame}`),
  };
}

/** Other studies, and what is kept for all of them. */
function beside(
  at: (path: string) => string,
  me: () => Record<string, string>,
): Pick<Shell, "studies" | "lookAtStudy" | "goToStudy" | "library" | "keep" | "editKept"> {
  const post = async <T>(path: string, body: unknown) =>
    (await send(at(path), jsonBody("POST", body, me()))).json() as Promise<T>;
  return {
    studies: () => json<StudyList>(at("api/studies"), { headers: me() }),
    lookAtStudy: (folder) => post<KnownStudy>("api/studies/look", { folder }),
    goToStudy: async (wish) => (await post<{ address: string }>("api/studies", wish)).address,
    library: () => json<Library>(at("api/library"), { headers: me() }),
    keep: (more) => post<Library>("api/library", more),
    editKept: (edit) => post<Library>("api/library/edit", edit),
  };
}

/** The news with which long work ends, telling all before it; its failure is thrown. */
async function lastNews<News extends { readonly kind: string }, End extends News["kind"]>(
  body: Parameters<typeof lines>[0],
  end: End,
  hear: (news: Exclude<News, { readonly kind: End | "failed" }>) => void,
): Promise<News & { readonly kind: End }> {
  for await (const news of lines<News>(body)) {
    if (news.kind === end) return news as News & { readonly kind: End };
    if (news.kind === "failed") throw new ShellError((news as unknown as { text: string }).text, 0);
    hear(news as Exclude<News, { readonly kind: End | "failed" }>);
  }
  throw new ShellError(SILENT, 0);
}

async function send(url: string, init?: RequestInit): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(url, init);
  } catch {
    throw new ShellError(SILENT, 0);
  }
  if (!response.ok) throw refused(await response.text(), response.status);
  return response;
}

/** The host's own sentence for the coach, or a plain one with the status. */
function refused(text: string, status: number): ShellError {
  const sentence = sentenceOf(text) ?? `The host could not do that (status ${status}).`;
  try {
    const { code, data } = JSON.parse(text);
    return new ShellError(sentence, status, typeof code === "string" ? code : "", data ?? {});
  } catch {
    return new ShellError(sentence, status);
  }
}

/** Reads the host's news, until stopped or the host ends. Resolves once the first has come. */
async function watch(url: string, hear: (news: WindowNews) => void): Promise<() => void> {
  const stopped = new AbortController();
  const { body } = await send(url, { signal: stopped.signal });
  const news = lines<WindowNews>(body);
  const first = await news.next();
  if (!first.done) hear(first.value);
  const listen = async () => {
    try {
      for await (const next of news) hear(next);
    } catch {
      // The host's end closes the answer, or breaks it: saving says so better than this would.
    }
  };
  void listen();
  return () => stopped.abort();
}

/** The lines of an answer, each one JSON, as they come. */
async function* lines<T>(body: ReadableStream<Uint8Array> | null): AsyncGenerator<T, void> {
  const reader = body
    ?.pipeThrough(new TextDecoderStream() as TransformStream<Uint8Array, string>)
    .getReader();
  let rest = "";
  for (;;) {
    const { done, value = "" } = (await reader?.read()) ?? { done: true };
    const whole = (rest + value).split("\n");
    rest = whole.pop() ?? "";
    for (const line of whole) yield JSON.parse(line);
    if (done) return;
  }
}

function sentenceOf(text: string): string | null {
  try {
    const body: unknown = JSON.parse(text);
    if (body && typeof body === "object" && "error" in body && typeof body.error === "string")
      return body.error;
  } catch {
    return null;
  }
  return null;
}

async function json<T>(url: string, init?: RequestInit): Promise<T> {
  return (await send(url, init)).json();
}

async function put<T>(url: string, body: unknown, headers: Record<string, string>): Promise<T> {
  return (await send(url, jsonBody("PUT", body, headers))).json();
}

function jsonBody(method: string, value: unknown, headers: Record<string, string> = {}): RequestInit {
  const body = JSON.stringify(value);
  return {
    method,
    body,
    headers: { "content-type": "application/json", ...headers },
    // Lets the last save finish while the window closes.
    keepalive: body.length < KEEPALIVE_BYTES,
  };
}

/** XMLHttpRequest because fetch cannot say how much of a body has been sent. */
function upload<T>(url: string, file: File, onProgress: (share: number) => void, signal: AbortSignal) {
  return new Promise<T>((resolve, reject) => {
    const request = new XMLHttpRequest();
    const stopped = () => reject(new ShellError("Adding the clip was stopped.", 0));
    if (signal.aborted) return stopped();
    request.open("POST", `${url}?name=${encodeURIComponent(file.name)}`);
    request.upload.onprogress = (e) => e.lengthComputable && onProgress(e.loaded / e.total);
    request.onerror = () => reject(new ShellError(SILENT, 0));
    request.onabort = stopped;
    request.onload = () => {
      const body = request.responseText;
      if (request.status >= 200 && request.status < 300) resolve(JSON.parse(body));
      else
        reject(
          new ShellError(
            sentenceOf(body) ?? `The clip was not stored (status ${request.status}).`,
            request.status,
          ),
        );
    };
    signal.addEventListener("abort", () => request.abort(), { once: true });
    request.send(file);
  });
}
