import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright";
import { expect, it, onTestFinished, vi } from "vitest";
import { OpenStudies } from "../../electron/openStudies.ts";
import { createStudy } from "../../electron/vault/createStudy.ts";
import type { Library } from "../../src/study/library.ts";
import { newStudy } from "../../src/study/newStudy.ts";
import { temporaryFolder } from "../helpers/studyFolder.ts";
import { violations } from "./axe.ts";
import { testBrowser } from "./testBrowser.ts";
import { demoStudyWithoutClips, goToPlace, openWindow, studyOnDisk } from "./wholeJobWindow.ts";

const ROOT = join(import.meta.dirname, "../..");
const SETUP = "Phone behind the start";

const browser = testBrowser();

it("what is kept of one study is offered in the next; it is looked through, renamed and removed, and no study changes", async () => {
  const home = temporaryFolder();
  vi.stubEnv("BLADEMARK_HOME", home);
  const first = demoStudyWithoutClips();
  const second = join(temporaryFolder(), "second");
  const { lane } = studyOnDisk(first);
  await createStudy(second, { ...newStudy(), lane: { ...newStudy().lane, distance: 30, gates: [0, 30] } });
  const studies = new OpenStudies(join(ROOT, "dist/app"));
  onTestFinished(async () => {
    await studies.close();
    vi.unstubAllEnvs();
  });
  const library = (): Library => JSON.parse(readFileSync(join(home, "library.json"), "utf8"));

  const page = await openWindow(browser, (await studies.server(first, 0)).url);
  await goToPlace(page, "Plan");
  await commit(page, "Along the lane", "33 m");
  await commit(page, "Camera set-up whose place is kept", SETUP);
  await keep(page, "Keep this place");
  await commit(page, "Rink whose lane is kept", "Town rink");
  await keep(page, "Keep this lane");
  await page.getByRole("region", { name: "Skaters" }).getByRole("button", { name: "Keep for" }).click();
  await expect.poll(() => library().skaters.length).toBe(5);
  // The demo's places are marked on its clips; the lens is typed here.
  await goToPlace(page, "Measure");
  await page.getByRole("button", { name: /^Ice: / }).click();
  await commit(page, "Lens k1, k2", "-0.12");
  await commit(page, "Camera set-up whose lens is kept", SETUP);
  await keep(page, "Keep this lens");
  await expect
    .poll(() => library().setups)
    .toEqual([{ name: SETUP, cameraPlan: expect.objectContaining({ x: 33 }), lens: { k1: -0.12 } }]);
  const [rink] = library().rinks;
  expect(rink).toMatchObject({ name: "Town rink", lane, cameraPlan: { x: 33 } });
  expect(rink?.markings).toContainEqual({ label: "P7", x: 22, y: 1.5 });
  const before = readFileSync(join(first, "study.json"), "utf8");

  await page.goto((await studies.server(second, 0)).url);
  await goToPlace(page, "Plan");
  await commit(page, "Camera set-up whose place is kept", SETUP);
  await page.getByRole("button", { name: "Use its place" }).click();
  await expect.poll(() => studyOnDisk(second).cameraPlan?.x).toBe(33);
  await commit(page, "New skater's name", "Bea");
  await expect.poll(() => studyOnDisk(second).skaters[0]?.body.stature).toBe(1.63);

  await page.getByRole("button", { name: "Studies", exact: true }).click();
  await page.getByText("5 skaters, 1 rink, 1 camera set-up.").waitFor();
  await page.getByRole("button", { name: "Look through" }).click();
  const dialog = page.getByRole("dialog", { name: "Kept for other studies" });
  await dialog.getByText("Studies that are there keep what they have.").waitFor();
  await dialog.getByText("lens k1 −0.12 · usual place 33 m along, 3 m up").waitFor();
  expect(await violations(page)).toEqual([]);
  await commit(page, "Name of Bea", "Aino");
  await dialog.getByRole("alert").getByText('"Aino" is kept already').waitFor();
  await commit(page, "Name of Bea", "Bea B.");
  await expect.poll(() => library().skaters.map((s) => s.name)).toContain("Bea B.");
  await dialog.getByRole("button", { name: "Remove Town rink" }).click();
  await expect.poll(() => library().rinks).toEqual([]);
  await dialog.getByRole("button", { name: "Put back" }).click();
  await expect.poll(() => library().rinks).toEqual([rink]);
  expect(readFileSync(join(first, "study.json"), "utf8")).toBe(before);
  expect(studyOnDisk(second).skaters.map((s) => s.name)).toEqual(["Bea"]);
});

async function keep(page: Page, name: string): Promise<void> {
  await page.getByRole("button", { name, exact: true }).click();
}

async function commit(page: Page, label: string, text: string): Promise<void> {
  const field = page.getByLabel(label, { exact: true });
  await field.fill(text);
  await field.press("Enter");
}
