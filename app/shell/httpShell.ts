import type { ClipIndex, ClipLinkState, OpenedStudy, Reach, Saved } from "../../src/study/exchange.ts";
import type { ClipLink } from "../../src/study/types.ts";
import { type Shell, ShellError } from "./Shell.ts";

/** Browsers refuse longer bodies in a request that must outlive its window. */
const KEEPALIVE_BYTES = 60_000;

const SILENT = "Blademark's host does not answer. Is the program that opened this window still running?";

/** What the host may send of a clip's index: only the times from `timesFrom` on. */
type PartialIndex = ClipIndex & { readonly timesFrom?: number };

/** The window's door to the host over same-origin HTTP; the desktop's custom scheme answers the same requests. */
export function createHttpShell(origin: string): Shell {
  const times = new Map<string, readonly number[]>();
  const at = (path: string) => new URL(path, origin).href;
  const clipPath = (clip: string) => `/api/clips/${encodeURIComponent(clip)}`;

  return {
    openStudy: () => json<OpenedStudy>(at("/api/study")),
    saveStudy: (study) => put<Saved>(at("/api/study"), study),
    saveMarks: (marks) => put<Saved>(at(`/api/marks/${encodeURIComponent(marks.trial)}`), marks),
    savePosition: async (position) => {
      await send(at("/api/position"), jsonBody("PUT", position));
    },
    addClip: (file, onProgress, signal) => upload<ClipLink>(at("/api/clips"), file, onProgress, signal),
    async clipIndex(clip) {
      const known = times.get(clip) ?? [];
      const index = await json<PartialIndex>(at(`${clipPath(clip)}/index?from=${known.length}`));
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
    async confirmLink(clip, sha256) {
      const answer = await send(at(`${clipPath(clip)}/link`), jsonBody("POST", { sha256 }));
      return (await answer.json()) as ClipLink;
    },
    giveFile: (clip, file, onProgress, signal) =>
      upload<{ link: ClipLink; same: boolean }>(at(`${clipPath(clip)}/file`), file, onProgress, signal),
    frameUrl: (clip, frame) => at(`${clipPath(clip)}/frames/${frame}`),
  };
}

async function send(url: string, init?: RequestInit): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(url, init);
  } catch {
    throw new ShellError(SILENT, 0);
  }
  if (!response.ok) throw new ShellError(await sentence(response), response.status);
  return response;
}

/** The host's own sentence for the coach, or a plain one with the status. */
async function sentence(response: Response): Promise<string> {
  const text = await response.text();
  return sentenceOf(text) ?? `The host could not do that (status ${response.status}).`;
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

async function json<T>(url: string): Promise<T> {
  return (await send(url)).json();
}

async function put<T>(url: string, body: unknown): Promise<T> {
  return (await send(url, jsonBody("PUT", body))).json();
}

function jsonBody(method: string, value: unknown): RequestInit {
  const body = JSON.stringify(value);
  return {
    method,
    body,
    headers: { "content-type": "application/json" },
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
