import { describe, expect, it } from "vitest";
import { blademark } from "../helpers/commandLine.ts";

describe("order", () => {
  it("gives ABBA and BAAB by halves, seeded, with the balance counted", async () => {
    const ask = ["order", "--skaters", "6", "--techniques", "narrow,wide", "--repeats", "2", "--seed", "7"];
    const { status, out } = await blademark(...ask, "--json");
    expect(status).toBe(0);
    const json = JSON.parse(out);
    expect(json).toMatchObject({ format: "blademark.order", version: 1, seed: 7, repeats: 2, notes: [] });
    expect(json.rows).toHaveLength(24);
    const own = (skater: string) =>
      json.rows
        .filter((r: { skater: string }) => r.skater === skater)
        .map((r: { technique: string }) => r.technique[0])
        .join("");
    const kinds = json.skaters.map(own).sort();
    expect(kinds).toEqual(["nwwn", "nwwn", "nwwn", "wnnw", "wnnw", "wnnw"]);
    // By hand from three of each: begin 3 and 3; n->w 3 + 3, w->n 3 + 3; mean place (1 + 4)/2 = (2 + 3)/2 = 2.5.
    expect(json.balance.times).toEqual([
      [3, 3, 3, 3],
      [3, 3, 3, 3],
    ]);
    expect([json.balance.follows[0][1], json.balance.follows[1][0]]).toEqual([6, 6]);
    expect(json.balance.mean_place).toEqual([2.5, 2.5]);
    expect((await blademark(...ask, "--json")).out).toBe(out);
  });

  it("takes names, and three techniques as a Williams design", async () => {
    const { status, out } = await blademark(
      "order",
      "--skaters",
      "Aino, Bea,Signe,Tove,Wren,Yrsa",
      "--techniques",
      "A,B,C",
      "--repeats",
      "1",
      "--json",
    );
    expect(status).toBe(0);
    const { balance, rows, seed } = JSON.parse(out);
    expect(seed).toBe(1);
    expect(rows[0].order).toBe(1);
    // Six skaters skate all six orders: each technique twice in each place, each follows each other twice.
    expect(balance.times.flat()).toEqual(new Array(9).fill(2));
    for (const t of [0, 1, 2]) for (const u of [0, 1, 2]) expect(balance.follows[t][u]).toBe(t === u ? 0 : 2);
  });

  it("prints a sheet with blanks, the seed and what it could not balance", async () => {
    const { out } = await blademark("order", "--skaters", "3", "--techniques", "A,B", "--repeats", "1");
    expect(out.split("\n")[1]).toMatch(/^1 +S\d +[AB] +1 +______$/);
    expect(out).toMatch(/Seed 1\./);
    expect(out).toMatch(/one more begins with one technique/);
  });

  it.each([
    [["--techniques", "A,B", "--repeats", "2"], 2, /needs --skaters/],
    [["--skaters", "0", "--techniques", "A,B", "--repeats", "2"], 2, /--skaters needs/],
    [["--skaters", "4", "--techniques", "A,", "--repeats", "2"], 2, /empty name/],
    [["--skaters", "4", "--techniques", "A,B", "--repeats", "two"], 2, /--repeats needs/],
    [["--skaters", "4", "--techniques", "A", "--repeats", "2"], 1, /two techniques/],
    [["--skaters", "x,x", "--techniques", "A,B", "--repeats", "2"], 1, /same name/],
  ])("refuses %j", async (args, status, words) => {
    const answer = await blademark("order", ...args);
    expect(answer).toMatchObject({ status, out: "" });
    expect(answer.said).toMatch(words);
  });
});
