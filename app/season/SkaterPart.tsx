import { Button, NativeSelect } from "@mantine/core";
import { useEffect, useMemo, useState } from "react";
import type { SkaterJson } from "../../src/pool/skaterJson.ts";
import { reportHtml } from "../../src/report/page/reportPages.ts";
import { skaterSeasonPage } from "../../src/report/page/skaterSeasonPage.ts";
import { REPORT_STYLE } from "../../src/report/page/style.ts";
import type { KnownStudy } from "../../src/study/exchange.ts";
import { Card } from "../places/shared/Card.tsx";
import { saveFile } from "../places/shared/saveFile.ts";
import type { Shell } from "../shell/Shell.ts";
import type { Autosave } from "../store/autosave.ts";
import type { Session } from "../store/session.ts";
import { AskedWords } from "./AskedWords.tsx";
import { ForgetSkater } from "./ForgetSkater.tsx";
import { useAsked } from "./useAsked.ts";

interface Props {
  readonly session: Session;
  readonly shell: Shell;
  readonly autosave: Autosave;
  readonly folders: readonly string[];
  readonly evenings: readonly KnownStudy[];
  readonly onShown: (shown: boolean) => void;
}

/** One skater through the evenings chosen, as it will be printed. */
export function SkaterPart({ session, shell, autosave, folders, evenings, onShown }: Props) {
  const people = [...new Map(evenings.flatMap((s) => s.people.map((p) => [p.code, p.name] as const)))]
    .filter(([code]) => code !== "")
    .sort(([x], [y]) => x.localeCompare(y, "en", { numeric: true }));
  const [wanted, setCode] = useState<string | null>(null);
  const code = wanted ?? people[0]?.[0] ?? "";
  const { asked, ask, stop } = useAsked(shell);
  const answer = asked.is === "answered" && asked.answer.kind === "skater" ? asked.answer.text : null;
  const season = useMemo(() => (answer === null ? null : (JSON.parse(answer) as SkaterJson)), [answer]);
  const body = useMemo(() => season && skaterSeasonPage(season).text, [season]);
  useEffect(() => onShown(body !== null), [body, onShown]);
  return (
    <>
      <section className="screen-only">
        <Card title="One skater through the season">
          <div className="season-line">
            <NativeSelect
              label="Skater"
              value={code}
              data={people.map(([value, name]) => ({
                value,
                label: name && name !== value ? `${value}, ${name}` : value,
              }))}
              onChange={(e) => setCode(e.currentTarget.value)}
            />
            <Button
              variant="default"
              disabled={code === "" || asked.is === "asking"}
              onClick={() => void ask({ do: "skater", folders, code })}
            >
              Show the page
            </Button>
            {season && body && (
              <>
                <Button
                  variant="default"
                  onClick={() =>
                    saveFile(
                      `${season.code} season.html`,
                      reportHtml({ title: `${season.code} through the season`, body }),
                      "text/html",
                    )
                  }
                >
                  Save as one file
                </Button>
                <Button onClick={() => window.print()}>Print</Button>
              </>
            )}
          </div>
          <AskedWords asked={asked} onStop={stop} />
          <ForgetSkater session={session} shell={shell} autosave={autosave} folders={folders} code={code} />
        </Card>
      </section>
      {body !== null && (
        <>
          <style>{REPORT_STYLE}</style>
          {/* biome-ignore lint/security/noDangerouslySetInnerHtml: made by src/report, which escapes all that people typed. */}
          <article className="card report season-report" dangerouslySetInnerHTML={{ __html: body }} />
        </>
      )}
    </>
  );
}
