import { writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { csvParseRows } from "d3-dsv";
import { describe, expect, it } from "vitest";
import { tableFiles } from "../../src/report/tables/studyTables.ts";
import { blademark } from "../helpers/commandLine.ts";
import { DEMO } from "../helpers/demoReadings.ts";
import { asked, csv, descriptor, odd, readingOf, whole, writtenTables } from "./demoTables.ts";

/** The Frictionless standard's own JavaScript reader; it carries the published version-1 profiles. */
const { Package } = createRequire(import.meta.url)("datapackage") as {
  Package: {
    load(
      descriptor: string,
      options: { basePath?: string; strict: boolean },
    ): Promise<{
      valid: boolean;
      errors: readonly { message: string }[];
      resources: readonly {
        name: string;
        read(options: { keyed: true; relations?: boolean }): Promise<Record<string, unknown>[]>;
      }[];
    }>;
  };
};

interface Measured {
  readonly scale: unknown;
  readonly marking: unknown;
  readonly strides: unknown;
  readonly trial: unknown;
}

const folder = writtenTables();

describe("the tables", () => {
  // RFC 4180, section 2: rules 1 (CRLF), 3 (header), 4 (same number of fields), 5-7 (quoting). Read by d3-dsv.
  it("are RFC 4180", () => {
    for (const { path, schema } of descriptor.resources) {
      const text = csv(path.replace(/\.csv$/, ""));
      expect(text.endsWith("\r\n"), path).toBe(true);
      expect(
        text.replace(/\r\n/g, "").replace(odd.replaceAll('"', '""').replace("\r\n", ""), ""),
        path,
      ).not.toMatch(/[\r\n]/);
      const [head, ...rows] = csvParseRows(text);
      expect(head).toEqual(schema.fields.map((f) => f.name));
      for (const row of rows) expect(row, path).toHaveLength(head!.length);
    }
    const trials = csvParseRows(csv("trials"));
    expect(trials[2]![trials[0]!.indexOf("note")]).toBe(`'${odd}`);
  });

  it("say the unit of every number that has one", () => {
    const unit: Record<string, string> = { m: "m", s: "s", px: "px", hz: "1/s", deg: "°" };
    let said = 0;
    for (const { schema } of descriptor.resources)
      for (const field of schema.fields) {
        const suffix = /_(m_s|m|s|px|hz|deg)(_left|_right)?(_u95|_sd|_at_frame)?$/.exec(field.name)?.[1];
        const expected = suffix === "m_s" ? "m/s" : suffix ? unit[suffix] : undefined;
        if (!expected) continue;
        expect(field.unit, field.name).toBe(expected);
        said++;
      }
    // Ten quantities with ± and both sides in the table of trials alone.
    expect(said).toBeGreaterThan(40);
  });

  // Data Package 1.0: specs.frictionlessdata.io/schemas/tabular-data-package.json, as packed in `datapackage`.
  it("are a Tabular Data Package by its published profile, every cell of its stated type", async () => {
    const made = await Package.load(join(folder, "datapackage.json"), { basePath: folder, strict: false });
    expect(made.errors.map((e) => e.message)).toEqual([]);
    expect(made.valid).toBe(true);
    const strides = await made.resources
      .find((r) => r.name === "strides")!
      .read({ keyed: true, relations: true });
    const expected = whole.study.trials.flatMap(({ id }) => {
      const reading = readingOf(id);
      return reading.ok ? reading.value.strides.map((s) => s.readings.stride_width_m.value) : [];
    });
    expect(strides.map((row) => row.stride_width_m)).toEqual(expected);
    for (const resource of made.resources) await resource.read({ keyed: true });
  });

  it("would be told from one that is not", async () => {
    const { resources, ...rest } = descriptor;
    const broken = JSON.stringify({ ...rest, resources: resources.map(({ path: _, ...r }) => r) });
    writeFileSync(join(folder, "broken.json"), broken);
    const made = await Package.load(join(folder, "broken.json"), { basePath: folder, strict: false });
    expect(made.valid).toBe(false);
  });

  it("without names hold no name of a skater, an observer or a clip", () => {
    const coded = tableFiles(whole, "codes", readingOf)
      .map((f) => f.content)
      .join("\n");
    for (const { name, id } of whole.study.skaters) {
      expect(coded).not.toMatch(new RegExp(`\\b(${name}|${id})\\b`, "i"));
    }
    for (const { name } of whole.study.clips) expect(coded).not.toContain(name);
  });
});

describe("what people did beside marks and events", () => {
  const rows = (name: string) => csvParseRows(csv(name));
  it("is in tables of its own", () => {
    expect(rows("not_seen")[1]).toEqual(["aino-open-1", String(asked.events[0]!.frame), "wrist", "left"]);
    expect(rows("ice_rechecks")[1]).toEqual(["aino-open-1", "300", "P1", "825.25", "195.5"]);
    expect(rows("gate_passings")).toContainEqual(["aino-open-1", "0", "57", "0.95", ""]);
  });

  it("says how marking repeats, from the trial that the demo has marked twice", () => {
    const [head, ...all] = rows("marking_reliability");
    expect(all).toHaveLength(7);
    const of = (quantity: string, column: string) =>
      Number(all.find((r) => r[0] === quantity)![head!.indexOf(column)]);
    // Bland and Altman (1986): limits are bias ± 1.96 SD of differences, and that SD is √2 typical errors.
    const width = of("stride_width_m", "limits_high") - of("stride_width_m", "limits_low");
    expect(width / (2 * 1.96 * Math.SQRT2 * of("stride_width_m", "typical_error"))).toBeCloseTo(1, 6);
    expect(of("stride_width_m", "strides")).toBeGreaterThan(5);
  });

  it("has each arm's swing, and why one could not be measured", () => {
    const [head, ...trials] = rows("trials");
    const swing = head!.indexOf("arm_swing_direction_deg_left");
    expect(trials.filter((t) => t[swing] !== "").length).toBeGreaterThan(0);
    const refused = rows("refused").map((r) => r[2]);
    expect(refused).toContain("arm_swing_angle_deg_right");
  });
});

describe("a study exported to tables and measured by `measure`", () => {
  it("gives the numbers of the study, digit for digit", async () => {
    const rows = csvParseRows(csv("trials"));
    const cell = (row: readonly string[], name: string) => row[rows[0]!.indexOf(name)]!;
    const skaters = csvParseRows(csv("skaters"));
    // One trial of each skater and playback: lengths of the body, picture and slow motion are what may go astray on the way.
    const kinds = new Set<string>();
    const done: string[] = [];
    const folderSays = JSON.parse((await blademark("measure", DEMO, "--json")).out) as {
      trials: { id: string; measure: Measured }[];
    };
    for (const row of rows.slice(1)) {
      const trial = cell(row, "trial");
      const kind = `${cell(row, "skater")} ${cell(row, "speed_factor")}`;
      if (cell(row, "scale_points") === "" || kinds.has(kind)) continue;
      kinds.add(kind);
      const skater = skaters.find((s) => s[0] === cell(row, "skater"))!;
      const body = ["hip_height", "upper_arm", "forearm", "stature"].flatMap((name, k) =>
        skater[k + 1] === "" ? [] : [`${name}=${skater[k + 1]}`],
      );
      const tables: Record<string, readonly [string, string]> = {
        "ice-points": ["--ice", "ice_points"],
        "ice-points-by-frame": ["--ice-frames", "ice_points_frames"],
        "known-lengths": ["--known-length", "known_length"],
      };
      const [option, table] = tables[cell(row, "scale")]!;
      const ran = await blademark(
        ...["measure", "--json", "--trial", trial],
        ...["--marks", join(folder, "marks.csv"), "--events", join(folder, "events.csv")],
        ...[option, join(folder, `${table}.csv`)],
        ...["--picture", `${cell(row, "picture_width_px")}x${cell(row, "picture_height_px")}`],
        ...["--frame-interval", cell(row, "frame_interval_s"), "--speed-factor", cell(row, "speed_factor")],
        ...["--body", body.join(","), "--mark-sd-stated", cell(row, "mark_sd_stated_px")],
      );
      expect(ran.said).toBe("");
      const fromTables = JSON.parse(ran.out) as Measured;
      const own = folderSays.trials.find((t) => t.id === trial)!.measure;
      expect(fromTables.scale).toEqual(own.scale);
      expect(fromTables.marking).toEqual(own.marking);
      expect(fromTables.strides).toEqual(own.strides);
      expect(fromTables.trial).toEqual(own.trial);
      done.push(trial);
    }
    expect(done.length).toBeGreaterThanOrEqual(5);
  });

  it("asks which trial is meant", async () => {
    const ran = await blademark(
      ...["measure", "--marks", join(folder, "marks.csv"), "--events", join(folder, "events.csv")],
      ...["--ice", join(folder, "ice_points.csv"), "--picture", "1280x720"],
    );
    expect(ran.status).toBe(1);
    expect(ran.said).toMatch(/holds \d+ trials.*--trial/);
  });
});
