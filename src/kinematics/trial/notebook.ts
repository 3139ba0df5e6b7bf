import { Unmeasurable } from "../quantities/unmeasurable.ts";

/**
 * One kind of thing a notebook remembers, and what tells one from another:
 * `const HIP = slot<number, UncertainPoint>()` is a module's own, so no two kinds meet under one name.
 */
export class Slot<K extends string | number, T> {
  /** For the compiler alone. */
  declare readonly holds: (key: K) => T;
}

export const slot = <K extends string | number, T>() => new Slot<K, T>();

type AnySlot = Slot<never, unknown>;
type Pages = Map<string | number, Page>;

/** Something that may change between rounds, by number. */
export interface Facts<F> {
  /** As it is now. */
  read(n: number): F;
  same(a: F, b: F): boolean;
}

/** Something worked out, or why it cannot be, and what it was worked out from. */
class Page {
  value: unknown = null;
  refusal: Unmeasurable | null = null;
  needs: Page[];
  /** What was worked out from it, some of it stale; filled when the round ends. */
  users: Page[] = NOTHING;
  staleUsers = 0;
  /** What it rests on has changed, or nobody used it. */
  isStale = false;
  /** The walk that met it last. */
  walk = 0;
  readonly kind: AnySlot;
  /** Pages of one kind below it, once somebody asked: what it needs never changes. */
  below: { readonly kind: AnySlot; readonly pages: readonly Page[] } | null = null;

  constructor(kind: AnySlot, needs: Page[]) {
    this.kind = kind;
    this.needs = needs;
  }

  wipe(): void {
    this.value = null;
    this.needs = NOTHING;
    this.users = NOTHING;
    this.below = null;
  }

  usedBy(user: Page): void {
    if (this.users === NOTHING) this.users = [user];
    else this.users.push(user);
  }

  /** One of its users has gone stale. They are many in a day of dragging marks, so the list is cleared now and then. */
  loseUser(): void {
    this.staleUsers++;
    if (this.isStale || this.staleUsers < 8 || 2 * this.staleUsers < this.users.length) return;
    this.users = this.users.filter((user) => !user.isStale);
    this.staleUsers = 0;
  }
}

/** Something made of a fact alone. */
class FactPage<F> extends Page {
  private readonly facts: Facts<F>;
  private readonly n: number;
  readonly was: F;

  constructor(kind: AnySlot, facts: Facts<F>, n: number) {
    super(kind, NOTHING);
    this.facts = facts;
    this.n = n;
    this.was = facts.read(n);
  }

  holds(): boolean {
    return this.facts.same(this.was, this.facts.read(this.n));
  }
}

const NOTHING: Page[] = [];

/** Every so many rounds what no longer serves is forgotten: it costs a walk through everything. */
const CLEAR_AFTER = 16;

/**
 * What is worked out in a derivation, each thing once; and in the next round only what rests on a fact that has
 * changed meanwhile.
 *
 * Whatever a calculation asks the notebook for while it runs is what it rests on, so nobody lists it. A calculation must
 * therefore take everything that can change from the notebook, or be remembered under a key that changes with it,
 * and give the same for the same.
 */
export class Notebook {
  /** By the serial of what they are about; 0 is the trial itself. */
  private readonly chapters = new Map<number, Map<AnySlot, Pages>>();
  private round = 1;
  private walk = 0;
  private lastSerial = 0;
  /** Of what is being worked out; at other times, of what the round was asked for. */
  private needs: Page[] = [];
  /** Made in this round. */
  private fresh: Page[] = [];
  private known: FactPage<unknown>[] = [];

  /**
   * What `make` gives, made once for this key; it throws `Unmeasurable` again where it threw it.
   *
   * @param about serial of the object it is about, as keys count within one; 0 = the trial
   */
  remember<K extends string | number, T>(what: Slot<K, T>, key: K, make: () => T, about = 0): T {
    const pages = this.pagesOf(what, about);
    const known = pages.get(key);
    if (known && !known.isStale) return this.ask<T>(known);
    const page = new Page(what, []);
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
    this.fresh.push(page);
    pages.set(key, page);
    return this.ask<T>(page);
  }

  /** What `make` makes of a fact, which is read again in the next round, and holds while it is the same. */
  fact<F, T>(what: Slot<number, T>, n: number, facts: Facts<F>, make: (fact: F) => T): T {
    const pages = this.pagesOf(what);
    const known = pages.get(n);
    if (known && !known.isStale) return this.ask<T>(known);
    const page = new FactPage(what, facts, n);
    page.value = make(page.was);
    this.known.push(page as FactPage<unknown>);
    pages.set(n, page);
    return this.ask<T>(page);
  }

  /** A number that no other object has: to remember by what rests on this one. */
  serial(): number {
    return ++this.lastSerial;
  }

  /** Facts have changed: what rests on those that are no longer the same is worked out again when it is asked for. */
  turn(): void {
    if (++this.round % CLEAR_AFTER === 0) this.forgetUnused();
    for (const page of this.fresh) for (const need of page.needs) need.usedBy(page);
    this.fresh = [];
    this.needs = [];
    const changed = this.known.filter((page) => !page.isStale && !page.holds());
    if (changed.length === 0) return;
    for (const page of changed) this.invalidate(page);
    this.known = this.known.filter((page) => !page.isStale);
  }

  /**
   * Forgets everything. An abandoned notebook is garbage as well, but one that has lived through a collection of young
   * objects keeps alive, until the next full one, whatever it points to: of a study's trials, worked out one after the
   * other, that is half the memory, and a third of the time.
   */
  close(): void {
    for (const chapter of this.chapters.values()) {
      for (const pages of chapter.values()) {
        for (const page of pages.values()) page.wipe();
        pages.clear();
      }
      chapter.clear();
    }
    this.chapters.clear();
    this.needs = [];
    this.fresh = [];
    this.known = [];
  }

  /** What this round has used so far of one kind. Between calculations, not in one. */
  inUse<K extends string | number, T>(what: Slot<K, T>): T[] {
    const found = new Set<Page>();
    for (const need of this.needs) for (const page of this.below(need, what)) found.add(page);
    return [...found].filter(({ refusal }) => refusal === null).map(({ value }) => value as T);
  }

  /**
   * Whether something worked out rests, through whatever else, on one of these. Only of what has been asked for; between
   * calculations, not in one.
   */
  restingOn(
    what: Slot<number, unknown>,
    numbers: Iterable<number>,
  ): (other: Slot<number, unknown>, n: number) => boolean {
    const known = new Map<Page, boolean>();
    for (const n of numbers) {
      const page = this.pagesOf(what).get(n);
      if (page) known.set(page, true);
    }
    const rests = (page: Page): boolean => {
      const before = known.get(page);
      if (before !== undefined) return before;
      const found = page.needs.some(rests);
      known.set(page, found);
      return found;
    };
    return (other, n) => {
      const page = this.pagesOf(other).get(n);
      return page !== undefined && rests(page);
    };
  }

  private invalidate(page: Page): void {
    if (page.isStale) return;
    page.isStale = true;
    for (const user of page.users) this.invalidate(user);
    for (const need of page.needs) need.loseUser();
    page.wipe();
  }

  /** Pages of one kind that a page rests on, itself among them. */
  private below(page: Page, kind: AnySlot): readonly Page[] {
    if (page.below?.kind === kind) return page.below.pages;
    const pages: Page[] = [];
    const walk = ++this.walk;
    const go = (at: Page): void => {
      if (at.walk === walk) return;
      at.walk = walk;
      if (at.kind === kind) pages.push(at);
      for (const need of at.needs) go(need);
    };
    go(page);
    page.below = { kind, pages };
    return pages;
  }

  /** What this round did not use. */
  private forgetUnused(): void {
    const walk = ++this.walk;
    const go = (at: Page): void => {
      if (at.walk === walk) return;
      at.walk = walk;
      for (const need of at.needs) go(need);
    };
    for (const need of this.needs) go(need);
    for (const [about, chapter] of this.chapters) {
      for (const [what, pages] of chapter) {
        for (const [key, page] of pages) {
          if (page.walk === walk) continue;
          page.isStale = true;
          pages.delete(key);
        }
        if (pages.size === 0) chapter.delete(what);
      }
      if (chapter.size === 0) this.chapters.delete(about);
    }
    const serve = (page: Page) => !page.isStale;
    this.fresh = this.fresh.filter(serve);
    this.known = this.known.filter(serve);
    for (const chapter of this.chapters.values())
      for (const pages of chapter.values())
        for (const page of pages.values()) {
          page.users = page.users.filter(serve);
          page.staleUsers = 0;
        }
  }

  private ask<T>(page: Page): T {
    const { needs } = this;
    // The same is often asked for twice running.
    if (needs[needs.length - 1] !== page) needs.push(page);
    if (page.refusal) throw page.refusal;
    return page.value as T;
  }

  private pagesOf(what: AnySlot, about = 0): Pages {
    let chapter = this.chapters.get(about);
    if (!chapter) {
      chapter = new Map();
      this.chapters.set(about, chapter);
    }
    let pages = chapter.get(what);
    if (!pages) {
      pages = new Map();
      chapter.set(what, pages);
    }
    return pages;
  }
}
