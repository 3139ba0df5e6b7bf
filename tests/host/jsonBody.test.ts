import { setTimeout as wait } from "node:timers/promises";
import { describe, expect, it } from "vitest";
import { bodyOf, jsonBody } from "../../electron/host/jsonBody.ts";

describe("a body's silence", () => {
  it("is measured from when it is read on, however long its reader was busy with the part before", async () => {
    const parts = ["one", "two"];
    const body = new ReadableStream<Uint8Array>({
      pull: (to) => {
        const next = parts.shift();
        // And then nothing, for ever.
        if (next) to.enqueue(new TextEncoder().encode(next));
      },
    });
    const request = new Request("http://127.0.0.1/", { method: "POST", body, duplex: "half" } as RequestInit);
    const read: string[] = [];
    const reading = (async () => {
      for await (const part of bodyOf(request, { silenceMs: 60 })) {
        read.push(new TextDecoder().decode(part));
        await wait(200);
      }
    })();
    await expect(reading).rejects.toMatchObject({ code: "too-slow" });
    expect(read).toEqual(["one", "two"]);
  });
});

describe("reading a body", () => {
  it("gives up a body that stops in the middle", async () => {
    let cancelled = false;
    const body = new ReadableStream<Uint8Array>({
      start: (controller) => controller.enqueue(new TextEncoder().encode('{"form')),
      cancel: () => {
        cancelled = true;
      },
    });
    const request = new Request("http://127.0.0.1/", {
      ...{ method: "PUT", body, headers: { "content-type": "application/json" } },
      duplex: "half",
    } as RequestInit);
    await expect(jsonBody(request, 1000, { silenceMs: 30 })).rejects.toMatchObject({ code: "too-slow" });
    await request.body?.cancel();
    expect(cancelled).toBe(true);
  });

  it("gives up a body that drips for ever", async () => {
    let dripped = 0;
    const body = new ReadableStream<Uint8Array>({
      async pull(controller) {
        await new Promise((resolve) => setTimeout(resolve, 5));
        dripped += 1;
        controller.enqueue(new Uint8Array([32]));
      },
    });
    const request = new Request("http://127.0.0.1/", {
      ...{ method: "PUT", body, headers: { "content-type": "application/json" } },
      duplex: "half",
    } as RequestInit);
    await expect(jsonBody(request, 10_000, { silenceMs: 1000, wholeMs: 60 })).rejects.toMatchObject({
      code: "too-slow",
    });
    expect(dripped).toBeLessThan(100);
  });
});
