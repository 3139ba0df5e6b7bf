import type { FilmedView } from "./filmViews.ts";

/*
 * What goes wrong in one view of several: done to its tables, as a person would have done it.
 */

type Row = string[];

function edited(table: string, edit: (row: Row, columns: readonly string[]) => Row): string {
  const [head = "", ...rows] = table.trimEnd().split("\n");
  const columns = head.split(",");
  return `${[head, ...rows.map((row) => edit(row.split(","), columns).join(","))].join("\n")}\n`;
}

function withTables(view: FilmedView, tables: Partial<FilmedView["tables"]>): FilmedView {
  return { ...view, tables: { ...view.tables, ...tables } };
}

/** Ice points typed with one wrong unit or step: all places longer by a factor. */
export function wrongScale(view: FilmedView, factor: number): FilmedView {
  const ice = edited(view.tables.ice, (row, columns) =>
    row.map((cell, k) => (columns[k]!.startsWith("ice_") ? String(Number(cell) * factor) : cell)),
  );
  return withTables(view, { ice });
}

const other = (side: string) => (side === "left" ? "right" : "left");

/** Left and right exchanged in everything that was picked and marked of one push. */
export function exchangedSides(view: FilmedView, push: number): FilmedView {
  const picked = view.picked.get(push)!;
  const frames = new Set([picked.off, picked.on, picked.nearest].map(String));
  const swap = (row: Row, columns: readonly string[], only: (cells: Row) => boolean): Row => {
    const [frame, side] = [row[columns.indexOf("frame")]!, columns.indexOf("side")];
    return frames.has(frame) && only(row) ? row.with(side, other(row[side]!)) : row;
  };
  return withTables(view, {
    marks: edited(view.tables.marks, (row, columns) => swap(row, columns, () => true)),
    events: edited(view.tables.events, (row, columns) =>
      swap(row, columns, ([event]) => !event!.startsWith("arm")),
    ),
  });
}

/** Both ends of the blade that leaves in one push put so many pixels aside. */
export function misplacedBlade(view: FilmedView, push: number, foot: string, px: number): FilmedView {
  const frame = String(view.picked.get(push)!.off);
  const marks = edited(view.tables.marks, (row, columns) => {
    const at = (name: string) => columns.indexOf(name);
    const isIt =
      row[at("frame")] === frame && row[at("side")] === foot && row[at("point")]!.startsWith("blade_");
    return isIt ? row.with(at("x_px"), String(Number(row[at("x_px")]) + px)) : row;
  });
  return withTables(view, { marks });
}

/** One blade-off picked so many frames late, with what was marked there. */
export function lateEvent(view: FilmedView, push: number, frames: number): FilmedView {
  const { off } = view.picked.get(push)!;
  const later = (row: Row, columns: readonly string[], only: (cells: Row) => boolean): Row => {
    const at = columns.indexOf("frame");
    if (row[at] !== String(off) || !only(row)) return row;
    const moved = row.with(at, String(off + frames));
    const time = columns.indexOf("time_s");
    return time < 0 ? moved : moved.with(time, ((off + frames) / view.fps).toFixed(6));
  };
  return withTables(view, {
    marks: edited(view.tables.marks, (row, columns) => later(row, columns, () => true)),
    events: edited(view.tables.events, (row, columns) =>
      later(row, columns, ([event]) => event === "blade_off"),
    ),
  });
}
