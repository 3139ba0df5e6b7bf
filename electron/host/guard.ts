import { refusal } from "./replies.ts";

/**
 * Refuses requests that other web pages could cause. `origins` are the door's own, e.g. `http://127.0.0.1:5147`.
 * The address the browser asked for must be one of them: a foreign name that resolves to this machine (DNS rebinding)
 * is not. A page of another origin gives itself away by Origin or Sec-Fetch-Site.
 *
 * @returns the refusal, or null when the request may pass
 */
export function refuseForeign(request: Request, origins: ReadonlySet<string>): Response | null {
  const { protocol, host } = new URL(request.url);
  const origin = request.headers.get("origin");
  const site = request.headers.get("sec-fetch-site");
  const foreign =
    !origins.has(`${protocol}//${host}`) ||
    (origin !== null && !origins.has(origin)) ||
    (site !== null && site !== "same-origin" && site !== "none");
  return foreign ? refusal(403, "foreign", "Blademark answers only its own window on this machine.") : null;
}
