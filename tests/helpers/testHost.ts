import { onTestFinished } from "vitest";
import { createHost, type Host } from "../../electron/host/createHost.ts";
import type { ClipIndex } from "../../src/study/exchange.ts";
import { temporaryFolder } from "./studyFolder.ts";

export const ORIGIN = "http://127.0.0.1:5147";

export interface TestHost {
  readonly host: Host;
  get(path: string, init?: RequestInit): Promise<Response>;
  putJson(path: string, body: unknown): Promise<Response>;
  postJson(path: string, body: unknown): Promise<Response>;
  index(clip: string): Promise<ClipIndex>;
  /** The index once it is in that state, or past a number of ready frames. */
  until(clip: string, is: (index: ClipIndex) => boolean): Promise<ClipIndex>;
  /** A small picture of a moment, s. One that was given up on a busy machine is asked for again. */
  glimpse(clip: string, at: number): Promise<Response>;
  /** All frames of a clip, in order, as the window gets them. */
  frames(clip: string, count: number): Promise<{ jpegs: Uint8Array[]; times: number[] }>;
}

/** A host over a study folder, closed when the test ends. */
export async function testHost(study: string, windowDir = temporaryFolder()): Promise<TestHost> {
  const host = await createHost({ study, windowDir, origins: () => new Set([ORIGIN]) });
  onTestFinished(() => host.close());
  const get = (path: string, init?: RequestInit) => host.handle(new Request(`${ORIGIN}${path}`, init));
  const index = async (clip: string) => (await (await get(`/api/clips/${clip}/index`)).json()) as ClipIndex;
  const send = (method: string) => (path: string, body: unknown) =>
    get(path, { method, body: JSON.stringify(body), headers: { "content-type": "application/json" } });
  return {
    host,
    get,
    index,
    putJson: send("PUT"),
    postJson: send("POST"),
    async until(clip, is) {
      for (const end = Date.now() + 300_000; Date.now() < end; ) {
        const now = await index(clip);
        if (is(now)) return now;
        await new Promise((resolve) => setTimeout(resolve, 15));
      }
      throw new Error(`clip ${clip} never came that far: ${JSON.stringify(await index(clip)).slice(0, 500)}`);
    },
    async glimpse(clip, at) {
      for (let again = 0; ; again++) {
        const answer = await get(`/api/clips/${clip}/glimpse?at=${at}`);
        if (answer.status === 200) return answer;
        if (again === 20) throw new Error(`no small picture of ${clip} at ${at} s: ${answer.status}`);
      }
    },
    async frames(clip, count) {
      const jpegs: Uint8Array[] = [];
      const times: number[] = [];
      for (let n = 0; n < count; n++) {
        const answer = await get(`/api/clips/${clip}/frames/${n}`);
        if (answer.status !== 200) throw new Error(`frame ${n}: ${answer.status} ${await answer.text()}`);
        jpegs.push(new Uint8Array(await answer.arrayBuffer()));
        times.push(Number(answer.headers.get("x-blademark-time")));
      }
      return { jpegs, times };
    },
  };
}

export const ended = ({ state }: ClipIndex) => state === "ready" || state === "failed";
