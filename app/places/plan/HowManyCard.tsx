import { NumberInput, SegmentedControl } from "@mantine/core";
import { useMemo, useState } from "react";
import { pText } from "../../../src/compare/numbers.ts";
import { type PlanRequest, planSize, planWords, skatersText } from "../../../src/compare/planSize.ts";
import { type Scatter, studyScatter } from "../../../src/compare/studyScatter.ts";
import { MeasureError } from "../../../src/errors.ts";
import { readNumber } from "../../../src/study/csv.ts";
import type { Study } from "../../../src/study/types.ts";
import { formatNumber, withUnit } from "../../../src/uncertainty/format.ts";
import { Card } from "../shared/Card.tsx";

const AMOUNTS = [
  { key: "difference", label: "True difference to find, s", min: 0.001 },
  { key: "typicalError", label: "Scatter of one skater's repeats, s", min: 0 },
  { key: "response", label: "How differently skaters respond, SD, s", min: 0 },
] as const;

/** How many skaters and repeats would settle a difference of a given size. */
export function HowManyCard({ study }: { study: Study }) {
  const known = useMemo(() => studyScatter(study), [study]);
  const [typed, setTyped] = useState<Partial<PlanRequest>>({});
  const request: PlanRequest = {
    difference: typed.difference ?? study.worthwhile ?? 0.1,
    typicalError: typed.typicalError ?? rounded(known.typicalError),
    response: typed.response ?? rounded(known.response),
    power: typed.power ?? 0.8,
  };
  const answer = planned(request);
  const n = study.skaters.length;
  const repeats = study.runOrder?.repeats ?? 2;
  return (
    <Card title="How many would settle it?" area="howmany" note="two techniques, each skater skates both">
      <div className="order-make how-many">
        {AMOUNTS.map(({ key, label, min }) => (
          <NumberInput
            key={key}
            label={label}
            size="sm"
            min={min}
            step={0.01}
            decimalScale={3}
            value={request[key]}
            onPaste={(e) => {
              // Typed, a comma is taken as the decimal one; pasted, the field would drop it.
              const pasted = readNumber(e.clipboardData.getData("text").trim().replace(",", "."));
              if (pasted === null) return;
              e.preventDefault();
              setTyped({ ...typed, [key]: Math.max(min, pasted) });
            }}
            onChange={(value) => setTyped({ ...typed, [key]: typeof value === "number" ? value : undefined })}
          />
        ))}
        <div className="how-often">
          <span className="how-often-label">Found in so many of 100 studies</span>
          <SegmentedControl
            aria-label="Found in so many of 100 studies"
            value={String(request.power)}
            data={[
              { value: "0.8", label: "80" },
              { value: "0.9", label: "90" },
            ]}
            onChange={(value) => setTyped({ ...typed, power: Number(value) })}
          />
        </div>
      </div>
      <p className="quiet order-note">{source(known)}</p>
      {typeof answer === "string" ? (
        <p className="care order-note">{answer}</p>
      ) : (
        <>
          {n > 0 &&
            planWords(request, n, repeats, "s").map((sentence) => (
              <p key={sentence} className="order-note">
                {sentence}
              </p>
            ))}
          <div className="sheet-scroll">
            <table className="sheet how-many-table">
              <thead>
                <tr>
                  <th className="right">Trials of each technique</th>
                  <th className="right">skaters</th>
                  <th className="right">trials in all</th>
                  <th className="right">SD of differences to expect</th>
                  <th className="right">found in</th>
                  <th className="right">smallest sign-flip p</th>
                </tr>
              </thead>
              <tbody>
                {answer.map((row) => (
                  <tr key={row.repeats}>
                    <td className="right number">{row.repeats}</td>
                    <td className="right number">{skatersText(row)}</td>
                    <td className="right number">{row.trials ?? "–"}</td>
                    <td className="right number">{withUnit(formatNumber(row.sd, 3), "s")}</td>
                    <td className="right number">
                      {row.power === null ? "–" : `${Math.floor(100 * row.power)} of 100`}
                    </td>
                    <td className="right number">
                      {row.smallestP === null
                        ? "–"
                        : pText(row.smallestP).replace("p = ", "").replace("p ", "")}
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </>
      )}
    </Card>
  );
}

function planned(request: PlanRequest): ReturnType<typeof planSize> | string {
  try {
    return planSize(request);
  } catch (error) {
    if (error instanceof MeasureError) return error.coach;
    throw error;
  }
}

function rounded(value: number): number {
  return Number(value.toFixed(3));
}

function source({ from }: Scatter): string {
  return from === "this study"
    ? "The scatter is this study's own so far; type another where you know better."
    : "Until this study has repeats: 0.04 s of scatter, as published for the mean of sprints over 15 m on ice (Wilson et al. 2021), and as much for how differently skaters respond, which is a guess.";
}
