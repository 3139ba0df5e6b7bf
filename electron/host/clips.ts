import { MeasureError } from "../../src/errors.ts";
import type { ClipLinkState } from "../../src/study/exchange.ts";
import type { ClipLink } from "../../src/study/types.ts";
import { NO_FILM } from "../clip/ffmpeg/clipFailure.ts";
import type { Preparation } from "../clip/jobs/preparation.ts";
import type { ClipSource } from "../clip/link/clipSource.ts";
import type { Vault } from "../vault/Vault.ts";
import type { BodyReaders } from "./jsonBody.ts";
import { json, nothing, refusal, reply } from "./replies.ts";

const SMALL_BODY = 4096;
/** How long an answer waits for a frame at most; the window then asks again. */
const UNTIL_MS = 500;
/** Longer than any clip. */
const MOST_SECONDS = 1e6;

/** @throws {MeasureError} `unknown-clip` */
export function sourceOf(vault: Vault, clip: string): ClipSource {
  const found = vault.clips.of(clip);
  if (!found)
    throw new MeasureError(
      "unknown-clip",
      `no clip ${clip} in the study`,
      `This study has no clip "${clip}".`,
    );
  const { file, link } = found;
  const { bytes, sha256 = null, part = null, turn = 0 } = link;
  return { clip, file, bytes, sha256, part, turn, studyFolder: vault.folder };
}

/** Adding clips, getting their frames ready, and finding their files again. */
export function clipRoutes(vault: Vault, preparation: Preparation, bodies: BodyReaders) {
  const source = (clip: string) => sourceOf(vault, clip);
  const asInStudy = (link: ClipLinkState) => ({
    ...link,
    path: link.path === null ? null : vault.clips.pathInStudy(link.path),
  });

  /** The same film is there already and as it was: its new link leads there, and the copy goes. null = it is new. */
  async function keptOnce(copied: ClipLink, sha256: string): Promise<ClipLink | null> {
    const twin = vault.clips.twinOf(copied);
    return twin && (await preparation.files.holds(vault.folder, twin.file, sha256))
      ? vault.clips.takeBack(copied, twin.path)
      : null;
  }

  return {
    /** The study's clips are prepared in the background, in their order. */
    follow: () => preparation.follow(vault.study.clips.map(({ id }) => source(id))),

    async add(request: Request, url: URL) {
      const copied = await vault.clips.add(nameOf(url), bodies.stream(request));
      const { file, sha256 } = source(copied.id);
      try {
        await preparation.mustBeFilm(file);
      } catch (error) {
        // Only what is surely no film goes: one that could not be looked at just now is kept, and its preparation says why.
        if (error instanceof MeasureError && NO_FILM.has(error.code)) {
          await vault.clips.takeBack(copied, null).catch(() => undefined);
          throw error;
        }
      }
      const link = (sha256 && (await keptOnce(copied, sha256))) || copied;
      const added = source(link.id);
      if (sha256) await preparation.files.remember(added.file, sha256);
      await preparation.take(added);
      return json(link, 201);
    },

    async index(clip: string, url: URL) {
      const until = url.searchParams.get("until");
      if (until !== null && /^(any|\d{1,9})$/.test(until))
        await preparation.untilThere(source(clip), until === "any" ? null : Number(until), UNTIL_MS);
      const from = Number(url.searchParams.get("from") ?? 0);
      const valid = Number.isSafeInteger(from) && from >= 0;
      const index = await preparation.index(source(clip), valid ? from : 0);
      return json({ ...index, link: asInStudy(index.link) });
    },

    async prepare(clip: string) {
      await preparation.first(source(clip));
      return nothing();
    },

    async stop(clip: string) {
      source(clip);
      await preparation.stop(clip);
      return nothing();
    },

    async wanted(clip: string, request: Request) {
      const { frame } = fieldsOf(await bodies.json(request, SMALL_BODY));
      if (typeof frame !== "number" || !Number.isSafeInteger(frame) || frame < 0)
        throw new MeasureError(
          "bad-frame",
          "wanted needs {frame: 0, 1, …}",
          "That is not the number of a frame.",
        );
      return json({ frame, reach: await preparation.want(source(clip), frame) });
    },

    /** A small picture of the clip near a moment (`at`, seconds), made without preparing it. */
    async glimpse(clip: string, request: Request, url: URL) {
      const at = Number(url.searchParams.get("at") ?? 0);
      if (!(at >= 0 && at < MOST_SECONDS)) throw badMoment();
      const glimpse = await preparation.glimpse(source(clip), at, request.signal);
      if (!glimpse) return refusal(404, "no-picture", "There is no picture of that moment.");
      return reply(new Uint8Array(glimpse.jpeg), 200, {
        "content-type": "image/jpeg",
        // The address names no content.
        "cache-control": "no-store",
        ...(glimpse.time === null ? {} : { "x-blademark-time": String(glimpse.time) }),
      });
    },

    /** Which frames are shown from one moment to another (`from`, `to`, seconds). */
    async framesAt(clip: string, url: URL) {
      const [from, to] = ["from", "to"].map((name) => Number(url.searchParams.get(name) ?? Number.NaN));
      if (!(from! >= 0 && to! >= from! && to! < MOST_SECONDS)) throw badMoment();
      return json(await preparation.framesAt(source(clip), from!, to!));
    },

    async look(clip: string) {
      return json(asInStudy(await preparation.files.look(source(clip))));
    },

    /** A person agrees that the clip is opened from the share it lies on. */
    async agree(clip: string) {
      return json(asInStudy(await preparation.files.agree(source(clip))));
    },

    /** A person confirms the file that the index names. */
    async link(clip: string, request: Request) {
      const { sha256 } = fieldsOf(await bodies.json(request, SMALL_BODY));
      if (typeof sha256 !== "string" || !/^[0-9a-f]{64}$/.test(sha256))
        throw new MeasureError(
          "bad-request",
          "link needs {sha256}",
          "The window did not say which file is confirmed.",
        );
      const { file, bytes } = await preparation.files.confirm(source(clip), sha256);
      const link = vault.clips.relink(clip, file, bytes, sha256);
      await preparation.first(source(clip), false);
      return json(link);
    },

    /** A person chose the clip's file again, through the window. */
    async file(clip: string, request: Request, url: URL) {
      const wanted = source(clip);
      const { file, copied } = await vault.clips.copyIn(nameOf(url), bodies.stream(request));
      const { path, bytes, sha256 } = copied;
      const { same } = await preparation.files.offer(wanted, file, sha256);
      if (!same)
        return json({
          link: { ...vault.clips.of(clip)?.link, path, bytes, sha256 },
          same,
        });
      const relinked = vault.clips.relink(clip, file, bytes, sha256);
      await preparation.first(source(clip), false);
      return json({ link: relinked, same });
    },
  };
}

/** @throws {MeasureError} `no-name` */
function nameOf(url: URL): string {
  const name = url.searchParams.get("name")?.trim();
  if (name) return name;
  throw new MeasureError(
    "no-name",
    "a clip's bytes need ?name=",
    "The clip came without a name. Add it again.",
  );
}

function badMoment(): MeasureError {
  return new MeasureError(
    "bad-moment",
    "a moment of a clip is a number of seconds, 0 or more",
    "That is no moment of the clip.",
  );
}

function fieldsOf(body: unknown): Record<string, unknown> {
  return typeof body === "object" && body !== null ? { ...body } : {};
}
