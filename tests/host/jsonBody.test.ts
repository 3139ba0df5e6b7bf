import { setTimeout as wait } from "node:timers/promises";
import { describe, expect, it } from "vitest";
import { bodyOf } from "../../electron/host/jsonBody.ts";

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
