import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { forTerminal } from "../../electron/forTerminal.ts";
import { blademark } from "../helpers/commandLine.ts";

/** As they stand in the table of commands. */
const COMMANDS = [
  ...readFileSync(join(import.meta.dirname, "../../electron/commandLine.ts"), "utf8").matchAll(
    /^import \{ (\w+) \} from "\.\/commands\//gm,
  ),
].map(([, name]) => name!);

// Exit statuses: docs/contracts.md, Commands.
describe("the command line", () => {
  it("lists its commands when asked, and on standard error when called without one", async () => {
    const asked = await blademark("--help");
    expect(asked.status).toBe(0);
    for (const name of COMMANDS) expect(asked.out).toMatch(new RegExp(`^  ${name} +\\w`, "m"));
    expect(COMMANDS.length).toBeGreaterThan(9);
    const bare = await blademark();
    expect(bare).toMatchObject({ status: 2, out: "" });
    expect(bare.said).toBe(asked.out);
  });

  it.each(COMMANDS)("helps with %s", async (name) => {
    const { status, out, said } = await blademark(name, "--help");
    expect({ status, said }).toEqual({ status: 0, said: "" });
    expect(out).toMatch(new RegExp(`^blademark ${name} `));
  });

  it.each([[["still", "nofile.mp4", "--frame", "1", "--out", "f.png"]], [["frames", "nofile.mp4"]]])(
    "says plainly that there is no such file: %j",
    async (args) => {
      expect(await blademark(...args)).toEqual({
        status: 1,
        out: "",
        said: "There is no file nofile.mp4.\n",
      });
    },
  );

  it.each([
    [["dance"], /no command "dance"/],
    [["toString"], /no command "toString"/],
    [["frames"], /something is missing/i],
    [["frames", "a.mp4", "b.mp4"], /one argument too many: b\.mp4/],
    [["frames", "a.mp4", "--fast"], /--fast/],
    [["still", "a.mp4", "--out", "f.png"], /--frame N/],
    [["still", "a.mp4", "--frame", "1.5", "--out", "f.png"], /whole number/],
    [["still", "a.mp4", "--frame", "-1", "--out", "f.png"], /--frame/],
    [["still", "a.mp4", "--frame", "1"], /--out FILE\.png/],
    [["still", "a.mp4", "--frame", "1", "--out", "f.jpg"], /\.png/],
    [["serve", "a", "--new", "b"], /not both/],
    [["serve", "--port", "eighty"], /--port/],
    [["serve", "--port", "70000"], /from 0 to 65535/],
    [["compare"], /either a study folder or --times/],
    [["compare", "x", "--times", "y"], /either a study folder or --times/],
    [["compare", "--times", "y", "--a", "close"], /belong together/],
    [["compare", "--times", "y"], /--a and --b/],
    [["compare", "--times", "y", "--a", "close", "--b", "close"], /needs two/],
    [["measure"], /--marks is missing/],
    [["measure", "--marks", "m"], /--events is missing/],
    [["measure", "--marks", "m", "--events", "e"], /--picture is missing/],
    [["measure", "--marks", "m", "--events", "e", "--picture", "1920"], /WIDTHxHEIGHT/],
    [["measure", "--marks", "m", "--events", "e", "--picture", "1920x1080"], /exactly one of --ice/],
    [
      ["measure", "--marks", "m", "--events", "e", "--picture", "9x9", "--ice", "i", "--known-length", "k"],
      /exactly one of --ice/,
    ],
    [["measure", "study", "t1", "--marks", "m"], /--marks belongs to measuring from tables/],
    [["measure", "a", "b", "c"], /too many: c/],
  ])("answers 2 and says what is wrong: %j", async (args, words) => {
    const { status, out, said } = await blademark(...args);
    expect({ status, out }).toEqual({ status: 2, out: "" });
    expect(said).toMatch(words);
  });

  it.each([
    ["--body", "hip=0.8", /hip_height/],
    ["--body", "hip_height=80", /metres/],
    ["--body", "stature=1.7,stature=1.8", /twice/],
    ["--mark-sd", "0", /above 0/],
    ["--mark-sd", "", /--mark-sd/],
    ["--lens", "a", /--lens/],
    ["--lens", "0.1,0.2,0.3", /k1,k2/],
    ["--speed-factor", "-2", /--speed-factor/],
    ["--seed", "x", /--seed/],
    ["--photocell", "5.1", /belong together/],
    ["--gates", "0,30", /belong together/],
  ])("answers 2 to %s %s", async (option, value, words) => {
    const base = ["--marks", "m", "--events", "e", "--picture", "1920x1080", "--ice", "i"];
    const { status, said } = await blademark("measure", ...base, `${option}=${value}`);
    expect(status).toBe(2);
    expect(said).toMatch(words);
  });

  it("prints nothing that a terminal obeys, and JSON as it is", async () => {
    const name = "\u001b[2J\u001b]0;x\u0007\u009b31m\u202elap\r.mp4";
    const { status, said } = await blademark("frames", `/no/such/${name}`);
    expect(status).toBe(1);
    expect(said).toContain("\\u001b[2J\\u001b]0;x\\u0007\\u009b31m\\u202elap\\u000d.mp4");
    expect(said).toMatch(/^(?:\P{Cc}|\n)*$/u);
    const printed: string[] = [];
    const { out } = forTerminal({ out: (text) => printed.push(text), say: () => undefined });
    out(JSON.stringify({ name }));
    out("a,b\r\n1,2\r\n\tend");
    expect(JSON.parse(printed[0]!)).toEqual({ name });
    expect(printed[1]).toBe("a,b\r\n1,2\r\n\tend");
  });
});
