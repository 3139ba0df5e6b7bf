import { Unmeasurable } from "./unmeasurable.ts";

/** Something worked out, or why it cannot be, and what it was worked out from. */
class Page {
  value: unknown = null;
  refusal: Unmeasurable | null = null;
  readonly needs: Page[] = [];
  /** Of a fact from outside: whether it is still so. */
  readonly still: (() => boolean) | null;
  /** No longer the notebook's: written anew, or forgotten. What rests on it must not meet what rests on the new one. */
  isTornOut = false;
  /** Rounds in which it was last found to hold, and not to hold. */
  held: number;
  failed = 0;

  constructor(round: number, still: (() => boolean) | null) {
    this.held = round;
    this.still = still;
  }
}

/**
 * What is worked out in a derivation, each thing once; and in the next round only what rests on a fact that has
 * changed meanwhile.
 *
 * Whatever a calculation asks the notebook for while it runs is what it rests on, so nobody lists it. A calculation must
 * therefore take everything that can change from the notebook, or from an object it is remembered with (which never
 * changes: what has changed is another object), and give the same for the same.
 */
export class Notebook {
  private readonly pages = new Map<string, Page>();
  private readonly pagesOf = new WeakMap<object, Map<string, Page>>();
  private round = 1;
  /** Of what is being worked out; at other times, of what the round was asked for. */
  private needs: Page[] = [];

  /**
   * What `make` gives, made once; it throws `Unmeasurable` again where it threw it.
   *
   * @param of what it is about, where the key alone does not tell
   */
  remember<T>(key: string, make: () => T, of?: object): T {
    const pages = of ? this.about(of) : this.pages;
    const known = pages.get(key);
    if (known && this.holds(known)) return this.ask<T>(known);
    const page = new Page(this.round, null);
    const outer = this.needs;
    this.needs = page.needs;
    try {
      page.value = make();
    } catch (error) {
      if (!(error instanceof Unmeasurable)) throw error;
      page.refusal = error;
    } finally {
      this.needs = outer;
    }
    return this.write<T>(pages, key, page, known);
  }

  /**
   * What `make` makes of a fact from outside, which `read` gives; it is read again in the next round, and holds while
   * it is the `same`.
   */
  fact<F, T>(key: string, read: () => F, same: (a: F, b: F) => boolean, make: (fact: F) => T): T {
    const known = this.pages.get(key);
    if (known && this.holds(known)) return this.ask<T>(known);
    const fact = read();
    const page = new Page(this.round, () => same(fact, read()));
    page.value = make(fact);
    return this.write<T>(this.pages, key, page, known);
  }

  /** Facts may have changed from here on. What the round before did not use is forgotten. */
  turn(): void {
    const used = this.used();
    for (const [key, page] of this.pages) {
      if (used.has(page)) continue;
      page.isTornOut = true;
      this.pages.delete(key);
    }
    this.needs = [];
    this.round++;
  }

  /** What this round has used so far of the things whose key begins so. Between calculations, not in one. */
  inUse<T>(beginning: string): T[] {
    const used = this.used();
    const found: T[] = [];
    for (const [key, page] of this.pages)
      if (key.startsWith(beginning) && page.refusal === null && used.has(page)) found.push(page.value as T);
    return found;
  }

  private used(): Set<Page> {
    const used = new Set<Page>();
    const reach = (page: Page): void => {
      if (used.has(page)) return;
      used.add(page);
      for (const need of page.needs) reach(need);
    };
    for (const page of this.needs) reach(page);
    return used;
  }

  private ask<T>(page: Page): T {
    const { needs } = this;
    // The same is often asked for twice running.
    if (needs[needs.length - 1] !== page) needs.push(page);
    if (page.refusal) throw page.refusal;
    return page.value as T;
  }

  private about(object: object): Map<string, Page> {
    let pages = this.pagesOf.get(object);
    if (!pages) {
      pages = new Map();
      this.pagesOf.set(object, pages);
    }
    return pages;
  }

  private write<T>(pages: Map<string, Page>, key: string, page: Page, before: Page | undefined): T {
    if (before) before.isTornOut = true;
    pages.set(key, page);
    return this.ask<T>(page);
  }

  private holds(page: Page): boolean {
    if (page.isTornOut || page.failed === this.round) return false;
    if (page.held === this.round) return true;
    const holds = page.still ? page.still() : page.needs.every((need) => this.holds(need));
    if (holds) page.held = this.round;
    else page.failed = this.round;
    return holds;
  }
}
