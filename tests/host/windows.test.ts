import { setTimeout as wait } from "node:timers/promises";
import { expect, it, onTestFinished } from "vitest";
import type { OpenedStudy, WindowNews } from "../../src/study/exchange.ts";
import { studyFolder } from "../helpers/studyFolder.ts";
import { type TestHost, testHost } from "../helpers/testHost.ts";

/** A window that is open: what it hears, in order. */
async function openWindow({ get }: TestHost, name: string) {
  const { body } = await get(`/api/window?window=${name}`);
  const reader = (body as ReadableStream<Uint8Array>).getReader();
  const heard: WindowNews["kind"][] = [];
  const listen = async () => {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) return;
      for (const line of new TextDecoder().decode(value).trim().split("\n"))
        heard.push(JSON.parse(line).kind);
    }
  };
  void listen();
  const close = () => reader.cancel();
  onTestFinished(close);
  const study = async (): Promise<OpenedStudy> =>
    (await get("/api/study", { headers: { "x-blademark-window": name } })).json();
  return { heard, close, study };
}

it("that look on may write once the one that wrote has gone, however long that takes to be known", async () => {
  const host = await testHost(studyFolder());
  const first = await openWindow(host, "window-one");
  const second = await openWindow(host, "window-two");
  expect(await second.study()).toMatchObject({ readOnly: true, owner: "another window" });
  expect([first.heard, second.heard]).toEqual([["writing"], ["looking-on"]]);
  await first.close();
  await expect.poll(() => second.heard).toEqual(["looking-on", "writing"]);
  expect(await second.study()).toMatchObject({ readOnly: false, owner: null });
});

it("go on looking on while the one that writes is only loaded anew", async () => {
  const host = await testHost(studyFolder());
  const first = await openWindow(host, "window-one");
  const second = await openWindow(host, "window-two");
  await first.close();
  const again = await openWindow(host, "window-one-again");
  expect(again.heard).toEqual(["writing"]);
  // Longer than a window is waited for.
  await wait(3000);
  expect(second.heard).toEqual(["looking-on"]);
  expect(await second.study()).toMatchObject({ readOnly: true });
});
