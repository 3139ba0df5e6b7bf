import { resolve } from "node:path";
import { findFfmpeg } from "../clip/ffmpeg/findFfmpeg.ts";
import { Preparation } from "../clip/jobs/preparation.ts";
import type { DiskOf } from "../disk/disk.ts";
import { Vault } from "../vault/Vault.ts";
import { backgroundRoutes } from "./backgrounds.ts";
import { clipRoutes } from "./clips.ts";
import { filmRoutes } from "./films.ts";
import { frameReply } from "./frames.ts";
import { refuseForeign } from "./guard.ts";
import { type BodyLimits, bodyReaders } from "./jsonBody.ts";
import { askForKey, firstVisit, type Key } from "./key.ts";
import { libraryRoutes } from "./library.ts";
import { watchLock } from "./lockWatch.ts";
import { failure, refusal } from "./replies.ts";
import { seasonRoutes, type WhileShut } from "./season.ts";
import { soundRoutes } from "./sounds.ts";
import { type Studies, studiesRoutes } from "./studies.ts";
import { studyRoutes } from "./study.ts";
import { suggestionRoutes } from "./suggestions.ts";
import { windowReply } from "./window.ts";
import { type WindowAddresses, Windows } from "./windows.ts";

export interface HostOptions {
  /** The study folder. */
  readonly study: string;
  /** The built window. */
  readonly windowDir: string;
  /** The door's own origins; asked for each request, because a port is known only once it is open. */
  readonly origins: () => ReadonlySet<string>;
  /** Where others on this machine can reach the door; a door of the program's own needs none. */
  readonly key?: () => Key | null;
  /** The door has one window only, which always may write. */
  readonly oneWindow?: boolean;
  /** Where windows of this study may have been before; the desktop's door has one address only. */
  readonly addresses?: WindowAddresses;
  /** Where the study lies; another one in tests. */
  readonly disk?: DiskOf;
  /** How other studies are gone to; a door without can't. */
  readonly studies?: Studies;
  /** How long a body may take; the usual times where it says none. */
  readonly bodies?: BodyLimits;
}

export interface Host {
  readonly vault: Vault;
  handle(request: Request): Promise<Response>;
  /** Ends preparation and waits until everything handed in is on disk. */
  close(): Promise<void>;
}

/** A study that is open, and what answers for it. */
interface Opened {
  readonly vault: Vault;
  /** @param base what the door's addresses begin with */
  route(request: Request, method: string, base: string): Promise<Response>;
  close(): Promise<void>;
}

interface Asked {
  readonly request: Request;
  readonly url: URL;
  /** What stands in the place of each `*`. */
  readonly given: readonly string[];
}

/** Method, path below `/api/`, answer. */
type Route = readonly [method: string, path: string, answer: (asked: Asked) => Response | Promise<Response>];

/** Opens a study and answers requests for it, the same through every door. */
export async function createHost(options: HostOptions): Promise<Host> {
  const { origins, key } = options;
  const whileShut: WhileShut = async (work) => {
    const before = await opening;
    const shut = (async () => {
      await before.close();
      return work();
    })();
    // Who asks meanwhile waits.
    opening = shut.then(
      () => openStudy(options, whileShut),
      () => openStudy(options, whileShut),
    );
    now = await opening;
    return shut;
  };
  let opening = openStudy(options, whileShut);
  let now = await opening;

  return {
    get vault() {
      return now.vault;
    },
    async handle(request) {
      const secret = key?.();
      const first = secret && firstVisit(request, secret, origins());
      if (first) return first;
      const foreign = refuseForeign(request, origins());
      if (foreign) return foreign;
      const keyless = secret && askForKey(request, secret);
      if (keyless) return keyless;
      const base = secret ? secret.base : "/";
      try {
        const { route } = await opening;
        if (request.method !== "HEAD") return await route(request, request.method, base);
        const { status, headers, body } = await route(request, "GET", base);
        await body?.cancel();
        return new Response(null, { status, headers });
      } catch (error) {
        return failure(error);
      }
    },
    close: async () => (await opening).close(),
  };
}

async function openStudy(options: HostOptions, whileShut: WhileShut): Promise<Opened> {
  const { study, windowDir, oneWindow, addresses } = options;
  const vault = await Vault.open(study, undefined, options.disk ? { disk: options.disk } : {});
  const preparation = new Preparation(vault.cacheFolder, findFfmpeg, undefined, vault.disk);
  const windows = new Windows(vault, oneWindow, addresses);
  const lock = watchLock(vault, (text) => windows.handOver(text));
  const bodies = bodyReaders(options.bodies);
  const studies = studyRoutes(vault, windows, bodies, addresses);
  const others = studiesRoutes(vault, bodies, options.studies);
  const season = seasonRoutes({ vault, bodies, studies: options.studies, whileShut });
  const library = libraryRoutes(bodies);
  const clips = clipRoutes(vault, preparation, bodies);
  const films = filmRoutes(vault, preparation, bodies);
  const suggestions = suggestionRoutes(vault, preparation, bodies);
  const backgrounds = backgroundRoutes(vault, preparation);
  const sounds = soundRoutes(vault, preparation);
  const window = resolve(windowDir);

  // Looking for clips that were moved may take a while; the window need not wait for it.
  void clips.follow();

  const routes: readonly Route[] = [
    ["GET", "study", ({ request }) => studies.open(request)],
    [
      "PUT",
      "study",
      async ({ request }) => {
        const saved = await studies.saveStudy(request);
        void clips.follow();
        return saved;
      },
    ],
    ["PUT", "marks/*", ({ request, given: [trial = ""] }) => studies.saveMarks(request, trial)],
    ["POST", "steps", ({ request }) => studies.addSteps(request)],
    ["POST", "choose", ({ request }) => studies.choose(request)],
    ["GET", "studies", () => others.list()],
    ["POST", "studies", ({ request }) => others.go(request)],
    ["POST", "studies/look", ({ request }) => others.look(request)],
    ["GET", "library", () => library.read()],
    ["POST", "library", ({ request }) => library.keep(request)],
    ["POST", "library/edit", ({ request }) => library.edit(request)],
    ["POST", "season", ({ request }) => season.ask(request)],
    ["GET", "window", ({ request }) => windows.join(request)],
    ["POST", "window/take-over", ({ request }) => windows.takeOver(request)],
    ["POST", "window/let-go", ({ request }) => windows.letGo(request)],
    ["POST", "window/left-nothing", ({ request }) => windows.leftNothing(request)],
    ["PUT", "position", ({ request }) => studies.savePosition(request)],
    ["POST", "clips", ({ request, url }) => clips.add(request, url)],
    ["GET", "clips/*/index", ({ url, given: [clip = ""] }) => clips.index(clip, url)],
    ["POST", "clips/*/prepare", ({ given: [clip = ""] }) => clips.prepare(clip)],
    ["DELETE", "clips/*/prepare", ({ given: [clip = ""] }) => clips.stop(clip)],
    ["POST", "clips/*/wanted", ({ request, given: [clip = ""] }) => clips.wanted(clip, request)],
    ["GET", "clips/*/glimpse", ({ request, url, given: [clip = ""] }) => clips.glimpse(clip, request, url)],
    ["GET", "clips/*/frames-at", ({ url, given: [clip = ""] }) => clips.framesAt(clip, url)],
    ["POST", "clips/*/look", ({ given: [clip = ""] }) => clips.look(clip)],
    ["POST", "clips/*/agree", ({ given: [clip = ""] }) => clips.agree(clip)],
    ["POST", "clips/*/link", ({ request, given: [clip = ""] }) => clips.link(clip, request)],
    ["POST", "clips/*/file", ({ request, url, given: [clip = ""] }) => clips.file(clip, request, url)],
    [
      "GET",
      "clips/*/frames/*",
      ({ request, given: [clip = "", n = ""] }) => {
        suggestions.giveWay();
        return frameReply(vault, preparation, clip, n, request);
      },
    ],
    ["POST", "suggestions/*", ({ request, given: [trial = ""] }) => suggestions.make(request, trial)],
    [
      "POST",
      "backgrounds/*/like/*",
      ({ given: [trial = "", other = ""] }) => backgrounds.compare(trial, other),
    ],
    ["POST", "sounds/*", ({ given: [view = ""] }) => sounds.listen(view)],
    ["POST", "backgrounds/*", ({ given: [trial = ""] }) => backgrounds.follow(trial)],
    ["POST", "films", ({ request }) => films.make(request)],
    ["GET", "films/*", ({ given: [film = ""] }) => films.file(film)],
  ];

  async function route(request: Request, method: string, base: string): Promise<Response> {
    const url = new URL(request.url);
    url.pathname = `/${url.pathname.slice(base.length)}`;
    if (url.pathname !== "/api" && !url.pathname.startsWith("/api/")) {
      return method === "GET" ? windowReply(window, url.pathname) : wrongMethod(["GET"]);
    }
    const parts = url.pathname.split("/").slice(2).map(decode);
    const here = routes.flatMap(([allowed, pattern, answer]) => {
      const given = match(pattern, parts);
      return given ? [{ allowed, given, answer }] : [];
    });
    const found = here.find((r) => r.allowed === method);
    if (found) return found.answer({ request, url, given: found.given });
    return here.length > 0 ? wrongMethod(here.map((r) => r.allowed)) : nothingHere();
  }

  return {
    vault,
    route,
    async close() {
      await lock.stop();
      await films.close();
      await suggestions.close();
      await backgrounds.close();
      await sounds.close();
      await preparation.close();
      await vault.close();
    },
  };
}

function match(pattern: string, parts: readonly string[]): string[] | null {
  const wanted = pattern.split("/");
  if (wanted.length !== parts.length || parts.includes("")) return null;
  if (wanted.some((part, i) => part !== "*" && part !== parts[i])) return null;
  return parts.filter((_, i) => wanted[i] === "*");
}

function wrongMethod(allowed: readonly string[]): Response {
  const answer = refusal(405, "wrong-method", `Only ${allowed.join(", ")} is answered here.`);
  answer.headers.set("allow", allowed.join(", "));
  return answer;
}

function nothingHere(): Response {
  return refusal(404, "not-found", "There is nothing at this address.");
}

/** A part that is no proper escape stays as it is and matches nothing. */
function decode(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
