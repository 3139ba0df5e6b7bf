/** What a browser has after it opened the printed address: its cookie, and where the window lies. */
export interface Visited {
  readonly answer: Response;
  /** The window's address, with its path, "/" at the end. */
  readonly base: string;
  readonly cookie: string;
  readonly headers: { readonly cookie: string };
}

export async function firstVisit(address: string): Promise<Visited> {
  const answer = await fetch(address, { redirect: "manual" });
  const cookie = (answer.headers.get("set-cookie") ?? "").split(";")[0] as string;
  const base = new URL(answer.headers.get("location") ?? "/", address).href;
  return { answer, base, cookie, headers: { cookie } };
}
