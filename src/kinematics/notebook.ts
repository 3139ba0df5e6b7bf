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
  /** Round in which it was last found to be used. */
  used = 0;

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
  private readonly shelves: Shelves = new Map();
  private readonly shelvesOf = new WeakMap<object, Shelves>();
  private round = 1;
  /** Of what is being worked out; at other times, of what the round was asked for. */
  private needs: Page[] = [];

  /**
   * What `make` gives, made once; it throws `Unmeasurable` again where it threw it.
   *
   * @param what and `n` tell it from all others, or from all others that are about the same object `of`
   */
  remember<T>(what: string, n: number, make: () => T, of?: object): T {
    const pages = shelf(of ? this.about(of) : this.shelves, what);
    const known = pages.get(n);
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
    if (known) known.isTornOut = true;
    pages.set(n, page);
    return this.ask<T>(page);
  }

  /**
   * What `make` makes of a fact from outside, which `read` gives; it is read again in the next round, and holds while
   * it is the `same`.
   */
  fact<F, T>(what: string, n: number, read: () => F, same: (a: F, b: F) => boolean, make: (fact: F) => T): T {
    const pages = shelf(this.shelves, what);
    const known = pages.get(n);
    if (known && this.holds(known)) return this.ask<T>(known);
    const fact = read();
    const page = new Page(this.round, () => same(fact, read()));
    page.value = make(fact);
    if (known) known.isTornOut = true;
    pages.set(n, page);
    return this.ask<T>(page);
  }

  /** Facts may have changed from here on. What the round before did not use is forgotten. */
  turn(): void {
    this.tellUsed();
    for (const pages of this.shelves.values()) {
      for (const [n, page] of pages) {
        if (page.used === this.round) continue;
        page.isTornOut = true;
        pages.delete(n);
      }
    }
    this.needs = [];
    this.round++;
  }

  /** What this round has used so far under this name. Between calculations, not in one. */
  inUse<T>(what: string): T[] {
    this.tellUsed();
    const pages = [...shelf(this.shelves, what).values()];
    return pages.flatMap((page) =>
      page.used === this.round && page.refusal === null ? [page.value as T] : [],
    );
  }

  private tellUsed(): void {
    const reach = (page: Page): void => {
      if (page.used === this.round) return;
      page.used = this.round;
      for (const need of page.needs) reach(need);
    };
    for (const page of this.needs) reach(page);
  }

  private ask<T>(page: Page): T {
    const { needs } = this;
    // The same is often asked for twice running.
    if (needs[needs.length - 1] !== page) needs.push(page);
    if (page.refusal) throw page.refusal;
    return page.value as T;
  }

  private about(object: object): Shelves {
    let shelves = this.shelvesOf.get(object);
    if (!shelves) {
      shelves = new Map();
      this.shelvesOf.set(object, shelves);
    }
    return shelves;
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

type Shelves = Map<string, Map<number, Page>>;

function shelf(shelves: Shelves, what: string): Map<number, Page> {
  let pages = shelves.get(what);
  if (!pages) {
    pages = new Map();
    shelves.set(what, pages);
  }
  return pages;
}
