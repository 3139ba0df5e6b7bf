import type { Preparation } from "../clip/jobs/preparation.ts";
import type { Vault } from "../vault/Vault.ts";
import { sourceOf } from "./clips.ts";
import { refusal, reply } from "./replies.ts";

/**
 * Exactly frame `n` as JPEG. The address names no content, so the browser asks each time whether the clip behind it is
 * still the same; the tag (content key and frame) lets the answer be empty.
 */
export async function frameReply(
  vault: Vault,
  preparation: Preparation,
  clip: string,
  frame: string,
  request: Request,
): Promise<Response> {
  const source = sourceOf(vault, clip);
  if (!/^\d{1,9}$/.test(frame))
    return refusal(404, "no-such-frame", `"${frame}" is not the number of a frame.`);
  const n = Number(frame);
  const answer = await preparation.frame(source, n);
  switch (answer.kind) {
    case "frame": {
      const etag = `"${answer.key}-${n}"`;
      const headers = {
        etag,
        "cache-control": "private, no-cache",
        "x-blademark-frame": String(n),
        "x-blademark-time": String(answer.time),
        ...(answer.doubtful ? { "x-blademark-doubtful": "1" } : {}),
      };
      if (request.headers.get("if-none-match") === etag) return reply(null, 304, headers);
      return reply(answer.jpeg, 200, {
        ...headers,
        "content-type": "image/jpeg",
        "content-length": String(answer.jpeg.length),
      });
    }
    case "not-yet":
      return refusal(425, "not-ready", `Frame ${n} is not ready yet.`);
    case "beyond":
      return refusal(
        404,
        "no-such-frame",
        `The clip has ${answer.count} frames, 0 to ${answer.count - 1}; there is no frame ${n}.`,
      );
    case "outside-part":
      return refusal(
        404,
        "outside-part",
        `Only frames ${answer.first} to ${answer.last} of this clip are prepared. Widen the part of the clip that matters to see frame ${n}.`,
      );
    case "no-picture":
      return refusal(
        404,
        "frame-damaged",
        `No picture could be made of frame ${n}; the clip is damaged there.`,
      );
    case "failed":
      return refusal(404, "clip-failed", answer.reason);
  }
}
