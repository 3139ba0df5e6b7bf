import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Page } from "playwright";

/** Deque's axe-core with all its rules, WCAG 2 A and AA and its good practice: an outside judge. */
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/**
 * What is wrong with the page as it stands, one line a rule.
 *
 * @param rules settings of single rules, as axe takes them
 * @param only these rules; the two themes differ in nothing but colours
 * @param within a selector: this part alone, over a page that was judged already
 */
export async function violations(
  page: Page,
  rules: object = {},
  only?: readonly string[],
  within?: string,
): Promise<string[]> {
  if (!(await page.evaluate("'axe' in window"))) await page.evaluate(AXE);
  // Half faded in, a dialog has no contrast.
  await page.evaluate(() =>
    Promise.allSettled(
      document.getAnimations().flatMap((a) => {
        const ends = Number.isFinite(a.effect?.getComputedTiming().endTime);
        return ends ? [a.finished] : [];
      }),
    ),
  );
  return page.evaluate(
    async ([rules, runOnly, within]) => {
      const { axe } = window as unknown as {
        axe: { run(where: object, options: object): Promise<AxeResults> };
      };
      const where = within ? document.querySelector(within) : document;
      if (!where) throw new Error(`nothing on the page is ${within}`);
      const options = { resultTypes: ["violations"], rules, ...(runOnly ? { runOnly } : {}) };
      const found = await axe.run(where, options);
      return found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(" ")).join("; ")}`);
    },
    [rules, only, within] as const,
  );
}

interface AxeResults {
  readonly violations: readonly {
    readonly id: string;
    readonly nodes: readonly { readonly target: readonly string[] }[];
  }[];
}
