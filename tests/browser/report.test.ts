import { cpSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { inflateSync } from "node:zlib";
import { beforeAll, describe, expect, it } from "vitest";
import { planFrame } from "../../src/report/still/planStill.ts";
import type { Study } from "../../src/study/types.ts";
import { measuredOnce } from "../../src/trials/measuredOnce.ts";
import { blademark } from "../helpers/commandLine.ts";
import { DEMO, demo } from "../helpers/demoReadings.ts";
import { sharedFolder } from "../helpers/studyFolder.ts";
import { PATIENCE_MS, serveStudy } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";

/** Deque's axe-core, WCAG 2.1 A and AA: an outside judge of accessibility. */
const AXE = createRequire(import.meta.url).resolve("axe-core/axe.min.js");

interface Violation {
  readonly id: string;
  readonly nodes: readonly { readonly target: readonly string[]; readonly failureSummary: string }[];
}

const browser = testBrowser();
const folder = sharedFolder();
let file: string;

beforeAll(async () => {
  const ran = await blademark("report", DEMO, "--out", join(folder, "report"));
  expect(ran.status, ran.said).toBe(0);
  file = join(folder, "report", "report.html");
});

describe("report.html opened from a file", () => {
  it("asks for nothing, shows its frames, and passes axe", async () => {
    const context = await browser.newContext({ viewport: { width: 900, height: 1000 }, bypassCSP: true });
    const page = await context.newPage();
    const asked: string[] = [];
    page.on("request", (r) => {
      if (!r.url().startsWith("data:")) asked.push(r.url());
    });
    const complaints: string[] = [];
    page.on("console", (message) => complaints.push(message.text()));
    await page.goto(pathToFileURL(file).href);
    expect(asked).toEqual([pathToFileURL(file).href]);
    expect(await page.locator("svg image").count()).toBeGreaterThanOrEqual(8);
    await page.addScriptTag({ path: AXE });
    const violations = await page.evaluate(async () => {
      const { axe } = window as unknown as {
        axe: { run(options: object): Promise<{ violations: Violation[] }> };
      };
      const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"];
      return (await axe.run({ runOnly: { type: "tag", values: tags } })).violations;
    });
    expect(
      violations.map((v) => `${v.id}: ${v.nodes.map((n) => `${n.target} ${n.failureSummary}`).join("; ")}`),
    ).toEqual([]);
    expect(complaints).toEqual([]);
    await context.close();
  });

  it("keeps within its own policy", async () => {
    const page = await browser.newPage();
    const complaints: string[] = [];
    page.on("console", (message) => complaints.push(message.text()));
    await page.goto(pathToFileURL(file).href);
    expect(complaints).toEqual([]);
    await page.close();
  });

  // A4 210 mm and Letter 215.9 mm wide less 2 x 15 mm, at 96 px an inch; skaters each begin a sheet.
  it.each([
    ["A4", 180],
    ["Letter", 185.9],
  ] as const)("fits the width of %s and gives each skater a sheet", async (format, millimetres) => {
    const width = Math.floor((millimetres / 25.4) * 96);
    const page = await browser.newPage({ viewport: { width, height: 1000 } });
    await page.goto(pathToFileURL(file).href);
    await page.emulateMedia({ media: "print" });
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
    const pdf = await page.pdf({ format, preferCSSPageSize: false, margin: { left: "15mm", right: "15mm" } });
    const texts = textsOnSheets(pdf);
    const sheets = texts.length;
    // One is the number of the sheet itself.
    for (const shown of texts) expect(shown).toBeGreaterThan(10);
    const skaters = await page.locator(".skater").count();
    expect(skaters).toBe(5);
    expect(sheets).toBeGreaterThan(skaters);
    // No table is cut at the side, and rows go from sheet to sheet whole.
    const cut = await page.locator(".report table").evaluateAll(
      (all) =>
        all.filter((t) => {
          const { left, right } = t.getBoundingClientRect();
          const rows = [...t.querySelectorAll("tr")].every(
            (r) => getComputedStyle(r).breakInside === "avoid",
          );
          return left < 0 || right > document.documentElement.clientWidth + 0.5 || !rows;
        }).length,
    );
    expect(cut).toBe(0);
    const tall = await page.locator(".skater").evaluateAll((all) => all.map((e) => e.clientHeight));
    const room = ((format === "A4" ? 297 : 279.4) - 28) * (96 / 25.4);
    for (const height of tall) expect(height).toBeLessThan(room);
    await page.close();
  });
});

describe("a report of long names and notes", () => {
  it("stays on the paper", async () => {
    const study = join(folder, "long");
    cpSync(DEMO, study, { recursive: true });
    const own = JSON.parse(readFileSync(join(study, "study.json"), "utf8")) as Study;
    const long = "a long-winded name that somebody typed at the boards before the first trial";
    const longer: Study = {
      ...own,
      techniques: own.techniques.map((t, k) => ({ ...t, name: `${long} ${k}` })),
      skaters: own.skaters.map((s, k) => ({ ...s, name: `Wilhelmina-Alexandrina of the Lakes ${k}` })),
      trials: own.trials.map((t) => ({ ...t, note: "many words ".repeat(20) })),
    };
    writeFileSync(join(study, "study.json"), JSON.stringify(longer));
    const out = join(folder, "long-report");
    const ran = await blademark("report", study, "--out", out, "--no-pictures");
    expect(ran.status, ran.said).toBe(0);
    const page = await browser.newPage({ viewport: { width: 680, height: 1000 } });
    await page.goto(pathToFileURL(join(out, "report.html")).href);
    await page.emulateMedia({ media: "print" });
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(680);
    await page.close();
  });
});

describe("Save this frame, in Measure", () => {
  it("gives the frame that is shown with what is measured in it, as PNG and as SVG", async () => {
    const whole = demo();
    const reading = measuredOnce(whole)("aino-close-1");
    if (!reading.ok) throw reading.error;
    const stride = reading.value.strides.find((s) => s.readings.stride_width_m.value !== null)!;
    const frame = stride.blade_off_frame;
    // The demo's clips lie beside its folder.
    const study = join(folder, "sample-clips", "demo-study");
    cpSync(DEMO, study, { recursive: true });
    symlinkSync(join(DEMO, "../clips"), join(folder, "sample-clips", "clips"));
    const server = await serveStudy(study);
    try {
      const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
      await page.goto(server.url);
      await page.getByRole("button", { name: "Measure", exact: true }).click();
      await page.waitForSelector("[data-testid=picture][data-shown-frame]", { timeout: PATIENCE_MS });
      await page.getByTestId("frame-field").fill(String(frame));
      await page.getByTestId("frame-field").press("Enter");
      await page.waitForSelector(`[data-testid=picture][data-shown-frame="${frame}"]`, {
        timeout: PATIENCE_MS,
      });
      const saved = async (kind: string) => {
        await page.getByRole("button", { name: "More" }).click();
        const download = page.waitForEvent("download");
        await page.getByRole("menuitem", { name: `Save this frame (${kind})` }).click();
        const file = join(folder, (await download).suggestedFilename());
        await (await download).saveAs(file);
        return readFileSync(file);
      };
      const svg = (await saved("SVG")).toString("utf8");
      expect(svg.replace(/base64,[^"]*/g, "")).toMatch(
        new RegExp(`frame ${frame}, \\w+ blade-off of stride ${stride.stride}; stride width `),
      );
      const png = await saved("PNG");
      const { picture, width } = planFrame(whole, "aino-close-1", reading.value, frame, {
        width: 0,
        height: 0,
      })!;
      expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([picture.width, picture.height]);
      // Between the pushing blade's marks and the standing one's, which are drawn over the line.
      const { blade, toward } = width!;
      const [x, y] = [
        Math.round(0.7 * blade.xPx + 0.3 * toward.xPx),
        Math.round(0.7 * blade.yPx + 0.3 * toward.yPx),
      ];
      // A page of its own: ours may not fetch data.
      const blank = await browser.newPage();
      const ink = await blank.evaluate(
        async ([data, px, py]) => {
          const bitmap = await createImageBitmap(await (await fetch(data as string)).blob());
          const context = new OffscreenCanvas(bitmap.width, bitmap.height).getContext("2d")!;
          context.drawImage(bitmap, 0, 0);
          return [...context.getImageData(px as number, py as number, 1, 1).data];
        },
        [`data:image/png;base64,${png.toString("base64")}`, x, y] as const,
      );
      // #14212b, the ink of the drawn width.
      [0x14, 0x21, 0x2b].forEach((c, k) => {
        expect(Math.abs(ink[k]! - c)).toBeLessThan(12);
      });
    } finally {
      await server.close();
    }
  });
});

/** How often each sheet of a PDF shows text, by ISO 32000-2: 7.3.8 streams, 7.7.3.3 pages, 9.4.3 Tj and TJ. */
function textsOnSheets(pdf: Buffer): number[] {
  const raw = pdf.toString("latin1");
  const object = (n: string) => {
    const from = raw.search(new RegExp(`(^|\\n)${n} 0 obj\\b`));
    return raw.slice(from, raw.indexOf("endobj", from));
  };
  const pages = [
    ...raw.matchAll(/\d+ 0 obj\s*<<(?:(?!endobj)[\s\S])*?\/Type\s*\/Page\b(?:(?!endobj)[\s\S])*/g),
  ];
  return pages.map(([page]) => {
    const content = object(/\/Contents (\d+) 0 R/.exec(page)![1]!);
    const from = content.indexOf("stream") + (content.includes("stream\r\n") ? 8 : 7);
    const shown = inflateSync(Buffer.from(content.slice(from, content.indexOf("endstream")), "latin1"));
    return shown.toString("latin1").match(/\bT[jJ]\b/g)?.length ?? 0;
  });
}

describe("the Report place", () => {
  it("shows what the command writes, in the same words and numbers", async () => {
    const study = join(folder, "demo-study");
    cpSync(DEMO, study, { recursive: true });
    const server = await serveStudy(study);
    try {
      const page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
      await page.goto(server.url);
      await page.getByRole("button", { name: "Report", exact: true }).click();
      await page.waitForSelector(".report .skater");
      const here = await page.locator(".report").textContent();
      const written = await browser.newPage();
      await written.goto(pathToFileURL(file).href);
      const there = await written.locator(".report").textContent();
      const words = (text: string | null) => text?.replace(/\s+/g, " ").trim();
      expect(words(here)).toBe(words(there));
      expect(readFileSync(file, "utf8")).toContain("How to repeat it");
    } finally {
      await server.close();
    }
  });
});
