import { MeasureError, shortened } from "../../src/errors.ts";

/** On every answer: nothing is guessed, framed, opened by another page, or loaded from elsewhere. */
const ALWAYS = {
  "x-content-type-options": "nosniff",
  "referrer-policy": "no-referrer",
  "cross-origin-resource-policy": "same-origin",
  "cross-origin-opener-policy": "same-origin",
  "x-frame-options": "DENY",
  "permissions-policy":
    "camera=(), microphone=(), geolocation=(), usb=(), serial=(), hid=(), midi=(), payment=()",
  "accept-ranges": "none",
  "content-security-policy": "default-src 'none'; frame-ancestors 'none'",
} as const;

/**
 * What the window's own files may do. No script but our files: none in the page, none made from text. Inline styles
 * are what the component library sets; blob: and data: are the window's own pictures.
 */
export const WINDOW_POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' blob: data:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self' blob:",
  "object-src 'none'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join("; ");

export function reply(body: BodyInit | null, status: number, headers: Record<string, string> = {}): Response {
  return new Response(body, { status, headers: { ...ALWAYS, "cache-control": "no-store", ...headers } });
}

export function json(value: unknown, status = 200): Response {
  return reply(JSON.stringify(value), status, { "content-type": "application/json; charset=utf-8" });
}

export function nothing(): Response {
  return reply(null, 204);
}

/** A sentence for the coach and a code for programs. */
export function refusal(status: number, code: string, error: string, data?: unknown): Response {
  return json({ error: shortened(error), code, data }, status);
}

const STATUS: Readonly<Record<string, number>> = {
  "read-only": 409,
  "too-large": 413,
  "not-json": 415,
  "disk-full": 507,
  "not-saved": 507,
  "unknown-clip": 404,
  "link-differs": 409,
  "other-window": 409,
  restarted: 409,
  "taken-over": 409,
  "changed-under-us": 409,
  "steps-missing": 409,
  "other-steps": 409,
  "changes-do-not-fit": 409,
  "folder-gone": 507,
  "too-slow": 408,
};

/** Every failure has an answer; what is not a MeasureError is a bug and also goes to the terminal. */
export function failure(error: unknown): Response {
  if (error instanceof MeasureError)
    return refusal(STATUS[error.code] ?? 400, error.code, error.coach, error.data);
  console.error(error);
  const message = error instanceof Error ? error.message : String(error);
  return refusal(
    500,
    "bug",
    `Something went wrong inside Blademark: ${message}. Nothing you did is lost; try again.`,
  );
}
