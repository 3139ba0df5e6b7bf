import { expect, it, onTestFinished, vi } from "vitest";
import type { createHost } from "../../electron/host/createHost.ts";

const HOST = "../../electron/host/createHost.ts";

// Two small pictures of a film are made at once: one that nobody waits for any more must not keep others waiting.
it("tells the host at the browser's door that whoever asked has gone, and of nobody who was answered", async () => {
  let hear: (signal: AbortSignal) => void = () => undefined;
  const asked = new Promise<AbortSignal>((resolve) => {
    hear = resolve;
  });
  const answered: AbortSignal[] = [];
  const host: Awaited<ReturnType<typeof createHost>> = Object.assign(Object.create(null), {
    close: async () => undefined,
    handle: async ({ url, signal }: Request) => {
      if (url.endsWith("/quick")) {
        answered.push(signal);
        return new Response("here");
      }
      hear(signal);
      await new Promise((gone) => signal.addEventListener("abort", gone));
      return new Response("too late");
    },
  });
  // Other files of this process may have loaded the door with the real host, and load it again after this one.
  vi.doMock(HOST, () => ({ createHost: async () => host }));
  vi.resetModules();
  onTestFinished(() => {
    vi.doUnmock(HOST);
    vi.resetModules();
  });
  const { startServer } = await import("../../electron/serve.ts");
  const server = await startServer({ study: "nowhere", windowDir: "nowhere" });
  onTestFinished(() => server.close());
  const { origin } = new URL(server.url);

  expect(await (await fetch(`${origin}/quick`)).text()).toBe("here");
  const giveUp = new AbortController();
  const waiting = fetch(`${origin}/slow`, { signal: giveUp.signal });
  const signal = await asked;
  expect(signal.aborted).toBe(false);
  giveUp.abort();
  await expect(waiting).rejects.toThrow();
  await vi.waitFor(() => expect(signal.aborted).toBe(true), { timeout: 30_000 });
  expect(answered.map((s) => s.aborted)).toEqual([false]);
});
