import { Button, Menu, SegmentedControl } from "@mantine/core";
import { useMemo, useState } from "react";
import { useStore } from "zustand";
import { reportHtml, reportPages, reportStills } from "../../../src/report/page/reportPages.ts";
import { REPORT_STYLE } from "../../../src/report/page/style.ts";
import { stillKey } from "../../../src/report/still/stillSvg.ts";
import { tableFiles } from "../../../src/report/tables/studyTables.ts";
import type { Names } from "../../../src/study/labels.ts";
import { wholeReading } from "../../store/readings.ts";
import { asPng } from "../shared/asPng.ts";
import type { PlaceProps } from "../shared/PlaceProps.ts";
import { saveFile } from "../shared/saveFile.ts";
import { useStillPictures } from "./useStillPictures.ts";
import "../shared/places.css";
import "./report.css";

/** Over the width of a page 200 dots an inch. */
const PNG_WIDTH = 1400;

async function saveDrawing(name: string, svg: string): Promise<void> {
  const [, width, height] = /viewBox="\S+ \S+ (\S+) (\S+)"/.exec(svg) ?? [];
  const heightPx = Math.round((PNG_WIDTH * Number(height)) / Number(width));
  saveFile(`${name}.png`, await asPng(svg, PNG_WIDTH, heightPx), "image/png");
}

/** What will be printed, as it will be printed. */
export function ReportPlace({ session, shell }: PlaceProps) {
  const whole = useStore(session, (s) => s.whole);
  const [names, setNames] = useState<Names>("names");
  const readingOf = useMemo(() => (trial: string) => wholeReading(whole, trial), [whole]);
  const stills = useMemo(() => reportStills(whole, names, readingOf), [whole, names, readingOf]);
  const pictures = useStillPictures(stills, shell);
  const report = useMemo(
    () =>
      reportPages(whole, {
        names,
        readingOf,
        pictureOf: (still) => pictures.get(stillKey(still)) ?? null,
        made: `Made on ${new Date().toLocaleDateString("en-GB", { dateStyle: "long" })}.`,
      }),
    [whole, names, readingOf, pictures],
  );
  const [saving, setSaving] = useState(false);
  // Comparing every quantity takes a while; only when somebody asks for it.
  const tables = useMemo(
    () => (saving ? tableFiles(whole, names, readingOf) : []),
    [saving, whole, names, readingOf],
  );
  const saveTable = (name: string, content: string) =>
    saveFile(name, content, name.endsWith(".csv") ? "text/csv;charset=utf-8" : "application/json");
  return (
    <div className="place report-place">
      <header className="place-head screen-only">
        <div>
          <h1>Report</h1>
          <p className="quiet">As it will be printed. The system's print dialogue can also save it as PDF.</p>
        </div>
        <div className="place-actions">
          <SegmentedControl
            aria-label="How skaters are called"
            value={names}
            onChange={(value) => setNames(value as Names)}
            data={[
              { value: "names", label: "Names" },
              { value: "codes", label: "Codes" },
            ]}
          />
          <Menu opened={saving} onChange={setSaving}>
            <Menu.Target>
              <Button variant="default">Save tables or drawings</Button>
            </Menu.Target>
            <Menu.Dropdown>
              {tables.map(({ name, content }) => (
                <Menu.Item key={name} onClick={() => saveTable(name, content)}>
                  {name}
                </Menu.Item>
              ))}
              <Menu.Divider />
              {report.figures.map(({ name, svg }) => (
                <Menu.Item key={name} onClick={() => saveFile(`${name}.svg`, svg, "image/svg+xml")}>
                  {name}.svg
                </Menu.Item>
              ))}
              <Menu.Divider />
              {report.figures.map(({ name, svg }) => (
                <Menu.Item key={name} onClick={() => void saveDrawing(name, svg)}>
                  {name}.png
                </Menu.Item>
              ))}
            </Menu.Dropdown>
          </Menu>
          <Button variant="default" onClick={() => saveFile("report.html", reportHtml(report), "text/html")}>
            Save as one file
          </Button>
          <Button onClick={() => window.print()}>Print</Button>
        </div>
      </header>
      <style>{REPORT_STYLE}</style>
      {/* biome-ignore lint/security/noDangerouslySetInnerHtml: made by src/report, which escapes all that people typed. */}
      <article className="card report" dangerouslySetInnerHTML={{ __html: report.body }} />
    </div>
  );
}
