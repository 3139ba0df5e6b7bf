import { join } from "node:path";
import type { Page } from "playwright";
import { expect, it, onTestFinished, vi } from "vitest";
import { OpenStudies } from "../../electron/openStudies.ts";
import { createStudy } from "../../electron/vault/createStudy.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { violations } from "./axe.ts";
import { PATIENCE_MS } from "./measureWindow.ts";
import { testBrowser } from "./testBrowser.ts";
import { goToPlace, openWindow, studyOnDisk } from "./wholeJobWindow.ts";

const ROOT = join(import.meta.dirname, "../..");
const SOON = { timeout: PATIENCE_MS };
const PEOPLE = ["Aino", "Bea", "Tove"];
const EVENINGS = ["first", "second", "third"];
/** Open minus close, s, by evening and skater; each skater's trials differ by 0.02 s. Their mean is -0.32 s. */
const DIFFERENCES = [
  [-0.3, -0.34, -0.32],
  [-0.28, -0.32, -0.3],
  [-0.34, -0.36, -0.32],
] as const;
const MEANS = ["−0.320 s", "−0.300 s", "−0.340 s"];

const browser = testBrowser();

it("a coach's three evenings: planned once, the next by one press, the third in another rink; the pooled answer, a skater's page, and one forgotten", async () => {
  const outer = temporaryFolder();
  vi.stubEnv("BLADEMARK_HOME", join(outer, "home"));
  const folders = EVENINGS.map((name) => join(outer, name));
  await createStudy(folders[0]!);
  const studies = new OpenStudies(join(ROOT, "dist/app"));
  onTestFinished(async () => {
    await studies.close();
    vi.unstubAllEnvs();
  });
  const page = await openWindow(browser, (await studies.server(folders[0]!, 0)).url);

  await goToPlace(page, "Plan");
  await commit(page, "Question", "Does open recovery beat close recovery?");
  await commit(page, "Distance", "30 m");
  for (const name of PEOPLE) await add(page, "New skater's name", name);
  for (const name of ["close recovery", "open recovery"]) await add(page, "New technique's name", name);
  await page.getByRole("button", { name: "Make the run order" }).click();
  await commit(page, "Date", "2027-01-14");
  await typeTimes(page, folders[0]!, 0);

  await nextEvening(page, folders[1]!);
  await commit(page, "Date", "2027-02-11");
  await typeTimes(page, folders[1]!, 1);

  await nextEvening(page, folders[2]!);
  await commit(page, "Date", "2027-03-11");
  await page.getByRole("combobox", { name: "Photocell beam" }).selectOption("dual");
  await commit(page, "Rink whose lane is kept", "Town rink");
  await page.getByRole("button", { name: "Keep this lane" }).click();
  await page.getByText("Kept. Studies that are there stay as they are.").waitFor();
  await typeTimes(page, folders[2]!, 2);

  await goToPlace(page, "Compare");
  await page.getByRole("button", { name: "With other evenings" }).click();
  await page.getByText("3 chosen").waitFor();
  await page.getByRole("button", { name: "Pool these evenings" }).click();
  const answer = page.getByRole("region", { name: "Pooled answer" });
  await answer.waitFor();
  const said = (await answer.textContent())?.replaceAll("\u00a0", " ") ?? "";
  expect(said).toContain("Time, open recovery minus close recovery: −0.320 s");
  expect(said).toContain("(3 skaters, 3 evenings)");
  expect(said).toContain("Whichever evening is left out");
  for (const mean of MEANS) expect(said).toContain(mean);
  expect(await violations(page)).toEqual([]);

  await page.getByRole("combobox", { name: "Skater", exact: true }).selectOption("S2");
  await page.getByRole("button", { name: "Show the page" }).click();
  const paper = page.getByRole("region", { name: "S2" });
  await paper.getByRole("heading", { name: "S2 through the season" }).waitFor();
  const printed = (await paper.textContent())?.replaceAll("\u00a0", " ") ?? "";
  // Bea's open trials lie at 5 s plus the difference.
  expect(printed).toContain("3 evenings, 14 January 2027 to 11 March 2027: first, second, third.");
  for (const mean of ["4.66", "4.68", "4.64"]) expect(printed).toMatch(new RegExp(`${mean}\\d* ±`));

  await page.getByRole("button", { name: "Forget this skater …" }).click();
  const dialog = page.getByRole("dialog", { name: "Forget S2" });
  await dialog.getByText(`${folders[0]}: Bea (S2). Goes: the skater; 4 trials, 4 of them timed`).waitFor();
  await dialog.getByText("the study that is open here among them").waitFor();
  expect(await violations(page)).toEqual([]);
  await dialog.getByRole("button", { name: "Forget them for good" }).click();
  await dialog.getByText("This was done:").waitFor(SOON);
  const left = folders.map((folder) => studyOnDisk(folder).skaters.map((one) => one.name));
  expect(left).toEqual(folders.map(() => ["Aino", "Tove"]));
  await dialog.getByRole("button", { name: "Open the study anew" }).click();
  await goToPlace(page, "Plan");
  await page.getByLabel("Name of Aino").waitFor(SOON);
  expect(await page.getByLabel("Name of Bea").count()).toBe(0);

  // An evening that was never opened here: named like the others as soon as it is found.
  const shared = join(outer, "from another club");
  await createStudy(shared, {
    ...{ ...newStudy(), question: "The same, elsewhere", date: "2027-02-20" },
    techniques: ["close recovery", "open recovery"].map((name, k) => ({ id: `t${k}`, name, asked: [] })),
  });
  await goToPlace(page, "Compare");
  await page.getByRole("button", { name: "With other evenings" }).click();
  await commit(page, "Folder of another evening", join(outer, "nowhere"));
  await page.getByRole("alert").getByText("There is no folder").waitFor();
  await commit(page, "Folder of another evening", shared);
  const line = page.getByRole("checkbox", { name: "20 February 2027: The same, elsewhere" });
  await line.waitFor();
  expect(await line.isChecked()).toBe(true);
  const listed = await page
    .getByRole("checkbox", { name: / 2027: / })
    .evaluateAll((all) =>
      all.map((one) => one.getAttribute("aria-label") ?? one.parentElement?.parentElement?.textContent ?? ""),
    );
  expect(listed.map((text) => /\d+ \w+ 2027/.exec(text)?.[0])).toEqual([
    "14 January 2027",
    "11 February 2027",
    "20 February 2027",
    "11 March 2027",
  ]);
});

async function commit(page: Page, label: string, text: string): Promise<void> {
  const field = page.getByRole("textbox", { name: label, exact: true });
  await field.fill(text);
  await field.press("Enter");
}

async function add(page: Page, label: string, name: string): Promise<void> {
  await commit(page, label, name);
  await page.getByLabel(`Name of ${name}`).waitFor(SOON);
}

/** In run order, each time and Enter. */
async function typeTimes(page: Page, folder: string, evening: number): Promise<void> {
  await expect.poll(() => studyOnDisk(folder).trials.length, SOON).toBe(12);
  const { trials, skaters, techniques } = studyOnDisk(folder);
  const rows = [...trials].sort((a, b) => a.order - b.order);
  const of = (list: readonly { readonly id: string; readonly name: string }[], id: string) =>
    list.find((one) => one.id === id)!.name;
  await goToPlace(page, "Times");
  const [{ skater, technique }] = rows as [(typeof rows)[0]];
  await page
    .getByLabel(`Time of ${of(skaters, skater)}, ${of(techniques, technique)}, trial 1, seconds`)
    .click();
  for (const row of rows) {
    const open = of(techniques, row.technique) === "open recovery";
    const difference = open ? DIFFERENCES[evening]![PEOPLE.indexOf(of(skaters, row.skater))]! : 0;
    await page.keyboard.type((5 + difference + (row.repeat === 1 ? 0.01 : -0.01)).toFixed(2));
    await page.keyboard.press("Enter");
  }
  await expect.poll(() => studyOnDisk(folder).trials.filter((t) => t.time !== null).length, SOON).toBe(12);
}

/** One press: its folder is offered beside this one's; here it gets a name of its own. */
async function nextEvening(page: Page, folder: string): Promise<void> {
  const before = new URL(page.url()).origin;
  await page.getByRole("button", { name: "Studies", exact: true }).click();
  const field = page.getByRole("textbox", { name: "Folder, next evening of this study" });
  await field.fill(folder);
  await field.press("Enter");
  await page.waitForURL((address) => address.origin !== before);
  await page.getByRole("heading", { name: "Plan" }).waitFor();
  expect(studyOnDisk(folder).skaters.map((s) => s.name)).toEqual(PEOPLE);
}
