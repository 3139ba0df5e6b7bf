import { createReadStream } from "node:fs";
import { stat } from "node:fs/promises";
import { extname, join, sep } from "node:path";
import { Readable } from "node:stream";
import { refusal, reply, WINDOW_POLICY } from "./replies.ts";

const TYPES: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".mjs": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".json": "application/json; charset=utf-8",
  ".svg": "image/svg+xml",
  ".png": "image/png",
  ".jpg": "image/jpeg",
  ".ico": "image/x-icon",
  ".woff2": "font/woff2",
  ".txt": "text/plain; charset=utf-8",
};

/** The built window's own files; nothing outside its folder, no dot files, no folder listings. */
export async function windowReply(windowDir: string, pathname: string): Promise<Response> {
  const missing = () => refusal(404, "not-found", "There is nothing at this address.");
  let path: string;
  try {
    path = decodeURIComponent(pathname);
  } catch {
    return missing();
  }
  const parts = path.split("/").filter((part) => part !== "");
  if (parts.some((part) => part.startsWith(".") || /[\\\0:]/.test(part))) return missing();
  const file = join(windowDir, ...(parts.length === 0 ? ["index.html"] : parts));
  if (!file.startsWith(windowDir + sep)) return missing();
  const type = TYPES[extname(file)];
  const found = await stat(file).catch(() => null);
  if (!type || !found?.isFile()) {
    if (parts.length > 0) return missing();
    return refusal(503, "no-window", "The window has not been built. Run: npm run build");
  }
  // Built files carry a hash of their content in their name; the page that names them does not.
  const cache = parts[0] === "assets" ? "public, max-age=31536000, immutable" : "no-cache";
  return reply(Readable.toWeb(createReadStream(file)) as ReadableStream, 200, {
    "content-type": type,
    "content-length": String(found.size),
    "content-security-policy": WINDOW_POLICY,
    "cache-control": cache,
  });
}
