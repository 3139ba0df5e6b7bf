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
  /** Replaced or dropped: what was worked out from it must be worked out again. */
  isStale = false;
  /** Rounds in which it was last found to hold, not to hold, and to be used. */
  held: number;
  failed = 0;
  used = 0;

  constructor(round: number, needs: Page[]) {
    this.held = round;
    this.needs = needs;
  }

  wipe(): void {
    this.value = null;
    this.needs = NOTHING;
  }

  stillHolds(holds: (need: Page) => boolean): boolean {
    for (const need of this.needs) if (!holds(need)) return false;
    return true;
  }
}

/** Something made of a fact alone. */
class FactPage<F> extends Page {
  private readonly facts: Facts<F>;
  private readonly n: number;
  private readonly was: F;

  constructor(round: number, facts: Facts<F>, n: number) {
    super(round, NOTHING);
    this.facts = facts;
    this.n = n;
    this.was = facts.read(n);
  }

  get fact(): F {
    return this.was;
  }

  override stillHolds(): boolean {
    return this.facts.same(this.was, this.facts.read(this.n));
  }
}

const NOTHING: Page[] = [];

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
  private lastSerial = 0;
  /** Of what is being worked out; at other times, of what the round was asked for. */
  private needs: Page[] = [];

  /**
   * What `make` gives, made once for this key; it throws `Unmeasurable` again where it threw it.
   *
   * @param about serial of the object it is about, as keys count within one; 0 = the trial
   */
  remember<K extends string | number, T>(what: Slot<K, T>, key: K, make: () => T, about = 0): T {
    const pages = this.pagesOf(what, about);
    const known = pages.get(key);
    if (known && this.holds(known)) return this.ask<T>(known);
    const page = new Page(this.round, []);
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
    if (known) known.isStale = true;
    pages.set(key, page);
    return this.ask<T>(page);
  }

  /** What `make` makes of a fact, which is read again in the next round, and holds while it is the same. */
  fact<F, T>(what: Slot<number, T>, n: number, facts: Facts<F>, make: (fact: F) => T): T {
    const pages = this.pagesOf(what);
    const known = pages.get(n);
    if (known && this.holds(known)) return this.ask<T>(known);
    const page = new FactPage(this.round, facts, n);
    page.value = make(page.fact);
    if (known) known.isStale = true;
    pages.set(n, page);
    return this.ask<T>(page);
  }

  /** A number that no other object has: to remember by what rests on this one. */
  serial(): number {
    return ++this.lastSerial;
  }

  /** Facts may have changed from here on. What the round before did not use is forgotten. */
  turn(): void {
    this.tellUsed();
    for (const [about, chapter] of this.chapters) {
      for (const [what, pages] of chapter) {
        for (const [key, page] of pages) {
          if (page.used === this.round) continue;
          page.isStale = true;
          pages.delete(key);
        }
        if (pages.size === 0) chapter.delete(what);
      }
      if (chapter.size === 0) this.chapters.delete(about);
    }
    this.needs = [];
    this.round++;
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
  }

  /** What this round has used so far of one kind. Between calculations, not in one. */
  inUse<K extends string | number, T>(what: Slot<K, T>): T[] {
    this.tellUsed();
    const found: T[] = [];
    for (const page of this.pagesOf(what).values())
      if (page.used === this.round && page.refusal === null) found.push(page.value as T);
    return found;
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

  private tellUsed(): void {
    for (const page of this.needs) this.reach(page);
  }

  private reach(page: Page): void {
    if (page.used === this.round) return;
    page.used = this.round;
    for (const need of page.needs) this.reach(need);
  }

  private ask<T>(page: Page): T {
    const { needs } = this;
    // The same is often asked for twice running.
    if (needs[needs.length - 1] !== page) needs.push(page);
    if (page.refusal) throw page.refusal;
    return page.value as T;
  }

  private readonly holds = (page: Page): boolean => {
    if (page.isStale || page.failed === this.round) return false;
    if (page.held === this.round) return true;
    const holds = page.stillHolds(this.holds);
    if (holds) page.held = this.round;
    else page.failed = this.round;
    return holds;
  };

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
